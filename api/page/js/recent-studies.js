// Studies looked at on this machine, so that they are found again.

const KEPT_AT = "closet-studies";
const MOST = 8;

/** Studies looked at before, the latest first: id, name and day. */
export function recentStudies() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT_AT));
    return Array.isArray(kept) ? kept : [];
  } catch {
    return [];
  }
}

/** Remember a study. */
export function noteStudy({ id, name, created_at: made }) {
  const others = recentStudies().filter((one) => one.id !== id);
  try {
    localStorage.setItem(KEPT_AT, JSON.stringify([{ id, name, made }, ...others].slice(0, MOST)));
  } catch {
    // A full or forbidden store costs the memory of it, nothing else.
  }
}
