// JSON Pointers (RFC 6901): how a fault of the service finds its field.

const unescaped = (step) => step.replaceAll("~1", "/").replaceAll("~0", "~");

/** Steps of a pointer. */
export const steps = (pointer) =>
  pointer === "" ? [] : pointer.slice(1).split("/").map(unescaped);

/** The value at a pointer, undefined where there is none. */
export function read(root, pointer) {
  return steps(pointer).reduce((at, step) => (at === undefined || at === null ? undefined : at[step]), root);
}

/** Set the value at a pointer; objects on the way are made. */
export function write(root, pointer, value) {
  const path = steps(pointer);
  const last = path.pop();
  let at = root;
  for (const step of path) {
    if (at[step] === undefined || at[step] === null || typeof at[step] !== "object") at[step] = {};
    at = at[step];
  }
  at[last] = value;
}

/** Whether `inner` is `outer` or lies within it. */
export const within = (inner, outer) => inner === outer || inner.startsWith(`${outer}/`);

/** A pointer as an id of an element. */
export const idOf = (pointer) => `at${pointer.replace(/[^A-Za-z0-9]+/g, "-")}`;
