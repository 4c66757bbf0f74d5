// JSON Pointers (RFC 6901): how a fault of the service finds its field. Writing gives a copy that
// shares what did not change.

const unescaped = (step) => step.replaceAll("~1", "/").replaceAll("~0", "~");

/** Steps of a pointer. */
export const steps = (pointer) =>
  pointer === "" ? [] : pointer.slice(1).split("/").map(unescaped);

/** The value at a pointer, undefined where there is none. */
export function read(root, pointer) {
  return steps(pointer).reduce((at, step) => (at === undefined || at === null ? undefined : at[step]), root);
}

/** `root` with another value at a pointer; objects on the way are made. */
export const written = (root, pointer, value) => put(root, steps(pointer), value);

function put(at, [step, ...rest], value) {
  if (step === undefined) return value;
  const inner = put(at?.[step], rest, value);
  if (!Array.isArray(at)) return { ...(at !== null && typeof at === "object" ? at : {}), [step]: inner };
  const copy = [...at];
  copy[Number(step)] = inner;
  return copy;
}

/** `root` with an entry more in the list at a pointer, and that entry's index. */
export function added(root, pointer, entry) {
  const list = read(root, pointer) ?? [];
  return [written(root, pointer, [...list, entry]), list.length];
}

/** `root` with an entry less in the list at a pointer. */
export const removed = (root, pointer, index) =>
  written(root, pointer, read(root, pointer).filter((_, place) => place !== index));

/** Whether `inner` is `outer` or lies within it. */
export const within = (inner, outer) => inner === outer || inner.startsWith(`${outer}/`);

/** A pointer as an id of an element. */
export const idOf = (pointer) => `at${pointer.replace(/[^A-Za-z0-9]+/g, "-")}`;
