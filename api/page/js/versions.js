// What can be undone: a value with what it was before and what was undone, and one function that
// gives the next such record. Nothing here is changed in place.

const MOST = 200;

/** Values never change: a new one takes the old one's place. Frozen through and through. */
export function frozen(value) {
  if (value === null || typeof value !== "object" || Object.isFrozen(value)) return value;
  Object.values(value).forEach(frozen);
  return Object.freeze(value);
}

/** The record of a value that nothing has happened to yet. */
export const begun = (now) => frozen({ past: [], now, future: [], group: null });

/**
 * The record after an action: `change` (to `now`, called `label`; changes of one `group` that
 * follow each other are one), `rest` (the next change begins anew), `undo`, `redo`.
 */
export function reduced(record, action) {
  const { past, now, future, group } = record;
  if (action.type === "change") {
    if (action.now === now) return record;
    const goesOn = action.group !== undefined && action.group === group;
    return frozen({
      past: goesOn ? past : [...past.slice(1 - MOST), { value: now, label: action.label }],
      now: action.now, future: [], group: action.group ?? null,
    });
  }
  if (action.type === "rest") return group === null ? record : frozen({ ...record, group: null });
  if (action.type === "undo" && past.length) {
    const { value, label } = past.at(-1);
    return frozen({ past: past.slice(0, -1), now: value, future: [{ value: now, label }, ...future], group: null });
  }
  if (action.type === "redo" && future.length) {
    const [{ value, label }, ...rest] = future;
    return frozen({ past: [...past, { value: now, label }], now: value, future: rest, group: null });
  }
  return record;
}

/** What undo would take back, in words, or null. */
export const toUndo = ({ past }) => past.at(-1)?.label ?? null;

/** What redo would bring back, in words, or null. */
export const toRedo = ({ future }) => future[0]?.label ?? null;
