// Names that nothing else in a list has.

/** `name`, with a number after it where it is taken. */
export function freeName(name, items) {
  const taken = new Set(items.map((item) => item.id));
  let free = name;
  for (let number = 2; taken.has(free); number += 1) free = `${name} ${number}`;
  return free;
}
