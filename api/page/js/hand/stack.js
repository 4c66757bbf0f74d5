// A bay taken apart into what a person moves, boards and rods, and put together again as the
// zones that the service knows. Nothing is changed in place.

const FINE = 1e-6;
const LEAST_FLOOR = 6;

/**
 * The rules of a brief that a stack is made by [brief units]: board thickness, air over a rod,
 * drop of each class of clothes, depths, spacing of shelves.
 */
export function rulesOf({ units, needs, construction }) {
  const per = units === "mm" ? 25.4 : 1;
  return {
    units, per, board: construction.panel_thickness, overRod: construction.rod_clearance, drop: needs.hang_drop,
    underClothes: construction.floor_clearance, hangDepth: construction.hang_depth, shelfDepth: needs.shelf_depth,
    pitch: needs.shelf_spacing, step: units === "mm" ? 5 : 0.25, leastFloor: LEAST_FLOOR * per,
  };
}

/** Boards (from the floor up), rods, and what stands on the floor, of a bay's zones. */
export function partsOf(bay) {
  const shelf = (zone) => zone.kind === "shelf";
  const floor = bay.zones.find((zone) => zone.kind === "floor");
  return {
    boards: bay.zones.filter(shelf).map(({ bottom, depth, items, stored }) => ({ at: bottom, depth, items, stored })),
    rods: bay.zones.filter((zone) => zone.kind === "rod").map(({ rod_height: at, hang, depth }) => ({ at, hang, depth })),
    floor: { items: floor?.items ?? [], stored: floor?.stored ?? [], depth: floor?.depth ?? null },
    roof: bay.roof ?? bay.zones.at(-1)?.top ?? bay.height,
  };
}

/** The bay with other parts: zones from the floor up, its height, depth and pattern as they follow. */
export function bayOf(bay, parts, rules) {
  const boards = [...parts.boards].sort((a, b) => a.at - b.at);
  const tops = [...boards.map((board) => board.at - rules.board), Math.max(parts.roof, boards.at(-1)?.at ?? 0)];
  const zones = tops.flatMap((top, index) =>
    gap(index ? boards[index - 1] : null, top, index ? boards[index - 1].at : 0, parts, rules));
  const depth = Math.max(...zones.map((zone) => zone.depth ?? 0), 0) || bay.depth;
  const filled = zones.map((zone) => ({ ...zone, depth: zone.kind === "floor" ? zone.depth ?? depth : zone.depth }));
  return {
    ...bay, zones: filled, depth, roof: parts.roof, height: boards.at(-1)?.at ?? bay.height,
    pattern: patternOf(filled),
  };
}

/** Zones between a board (null: the floor) and what is above it. */
function gap(board, top, bottom, parts, rules) {
  const hung = parts.rods.filter((rod) => rod.at > bottom && rod.at <= top + FINE).sort((a, b) => b.at - a.at);
  const rods = [];
  let under = top;
  for (const rod of hung) {
    const lowest = Math.max(0, rod.at - rules.drop[rod.hang]);
    rods.unshift(zone("rod", lowest, under, { depth: rod.depth ?? rules.hangDepth, hang: rod.hang, rod_height: rod.at }));
    under = lowest;
  }
  if (board) return [zone("shelf", bottom, under, board), ...rods];
  const { floor } = parts;
  const kept = floor.items.length || under >= rules.leastFloor;
  return kept ? [zone("floor", 0, under, { ...floor, depth: floor.depth }), ...rods] : rods;
}

const round = (value) => Number(value.toFixed(6));

const zone = (kind, bottom, top, { depth = null, hang = null, rod_height = null, items = [], stored = [] }) =>
  ({ kind, bottom: round(bottom), top: round(top), depth, hang, rod_height, items, stored });

const number = (value) => String(Number(value.toFixed(3)));

/** Equally spaced shelves as one piece of a name; nothing for none. */
function told(run) {
  if (!run.length) return [];
  const [{ depth, bottom }] = run;
  const deep = depth === null ? "" : `x${number(depth)}`;
  if (run.length === 1) return [`shelf${deep}@${number(bottom)}`];
  return [`shelf*${run.length}${deep}@${number(bottom)}-${number(run.at(-1).bottom)}`];
}

/** Whether a shelf is as deep as the one under it, and as far from it as that from the next. */
function goesOn(run, one) {
  if (!run.length) return true;
  const pitch = (low, high) => high.bottom - low.bottom;
  const level = run.length < 2 || Math.abs(pitch(...run.slice(-2)) - pitch(run.at(-1), one)) <= 1e-3;
  return level && run.at(-1).depth === one.depth;
}

/** The name of a stack from the floor up, as the service writes it: floor:19.25+short@56.25+shelf*3x14@60-80. */
export function patternOf(zones) {
  const parts = [];
  let run = [];
  for (const one of zones) {
    if (one.kind === "shelf") {
      if (!goesOn(run, one)) {
        // Of two shelves with another distance over them the upper one may begin a run.
        const kept = run.length === 2 && run[0].depth === one.depth ? run.slice(1) : [];
        parts.push(...told(run.slice(0, run.length - kept.length)));
        run = kept;
      }
      run.push(one);
      continue;
    }
    parts.push(...told(run));
    run = [];
    parts.push(one.kind === "floor" ? `${one.items.length ? "items" : "floor"}:${number(one.top)}` : `${one.hang}@${number(one.rod_height)}`);
  }
  return [...parts, ...told(run)].join("+") || "empty";
}
