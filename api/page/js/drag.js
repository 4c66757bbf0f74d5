// Things in the drawing moved along their wall, by pointer or by arrow keys.

import { putAll, rest } from "./draft-changes.js";
import { state } from "./store.js";

const STEP = { in: 0.25, mm: 5 };
const BIG = 12;

/** Whether things of a list may hang anywhere above the floor. */
const lifted = (list) => list !== "openings";

/** Put a thing at `along` its wall (and `bottom` up), kept on the wall and on whole steps. */
function place(list, thing, along, bottom) {
  const step = STEP[state.draft.brief.units];
  const base = `/room/${list}/${thing.index}`;
  const snap = (value, most) =>
    String(Math.max(0, Math.min(Math.round(value / step) * step, Math.floor(most / step) * step)));
  const pairs = [[`${base}/start`, snap(along, thing.wall.length - thing.width)]];
  if (bottom !== undefined) pairs.push([`${base}/bottom`, snap(bottom, Math.max(...thing.wall.heights) - thing.height)]);
  putAll(pairs, "moving in the drawing", `move ${base}`);
}

/** Where a pointer is [units of the drawing that `target` is or belongs to]. */
export function local(target, event) {
  const board = target.ownerSVGElement ?? target;
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(board.getScreenCTM().inverse());
}

/**
 * Follow a pointer from a press on: `move(dx, dy)` with the way gone [units of the drawing], `end`
 * once it is let go.
 */
export function dragged(event, move, end = () => {}) {
  const { currentTarget } = event;
  currentTarget.setPointerCapture(event.pointerId);
  currentTarget.focus?.();
  const from = local(currentTarget, event);
  const follow = (next) => {
    const to = local(currentTarget, next);
    move(to.x - from.x, to.y - from.y);
  };
  const stop = () => {
    currentTarget.removeEventListener("pointermove", follow);
    currentTarget.removeEventListener("pointerup", stop);
    currentTarget.removeEventListener("pointercancel", stop);
    end();
  };
  currentTarget.addEventListener("pointermove", follow);
  currentTarget.addEventListener("pointerup", stop);
  currentTarget.addEventListener("pointercancel", stop);
  event.preventDefault();
}

/**
 * Handlers that let a drawn thing be moved. `along` and `up` are the ways on screen that lead
 * along the wall and up it, `scale` screen units for a unit of length.
 */
export function movable(list, thing, { along, up, scale }) {
  const down = (event) => dragged(event, (x, y) => {
    const [dx, dy] = [x / scale, y / scale];
    const bottom = up && lifted(list) ? thing.bottom - dy : undefined;
    place(list, thing, thing.start + dx * along[0] + dy * along[1], bottom);
  }, rest);
  return { down, key: (event) => byKey(event, list, thing, up) };
}

function byKey(event, list, thing, up) {
  const step = STEP[thing.units ?? state.draft.brief.units] * (event.shiftKey ? BIG : 4);
  const lift = up && lifted(list);
  const moves = {
    ArrowLeft: [-step, 0], ArrowRight: [step, 0],
    ArrowUp: lift ? [0, step] : [step, 0], ArrowDown: lift ? [0, -step] : [-step, 0],
    Home: [-thing.start, 0], End: [thing.wall.length, 0],
  };
  const move = moves[event.key];
  if (!move) return;
  event.preventDefault();
  place(list, thing, thing.start + move[0], lift ? thing.bottom + move[1] : undefined);
}
