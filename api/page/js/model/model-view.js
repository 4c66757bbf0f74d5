// The room as a model that turns, by pointer and by arrow keys.

import { html, svg } from "../../vendor/lit-html/lit-html.js";
import { dragged } from "../drag.js";
import { set, state } from "../store.js";
import { boxesOf, paintedInOrder, wallsOf } from "./solids.js";

const [WIDTH, HEIGHT, EDGE] = [720, 520, 24];
const STEP = 15;
const [FLATTEST, STEEPEST] = [10, 80];
const radians = (degrees) => (degrees * Math.PI) / 180;

const TILT = 28;
const TURNS = [20, 70, 110, 160, 200, 250, 290, 340];

/** From where most of a layout is seen from the front: turned about its height, looked down upon [degrees]. */
function firstStand(brief, bays) {
  const walls = new Map(wallsOf(brief.room).map((wall) => [wall.id, wall]));
  const seen = (turn) => {
    const { view } = projector({ turn, tilt: TILT });
    return bays.reduce((sum, bay) => {
      const { inward } = walls.get(bay.wall);
      return sum + bay.width * Math.max(0, -(inward[0] * view[0] + inward[1] * view[1]));
    }, 0);
  };
  const turn = TURNS.reduce((best, one) => (seen(one) > seen(best) + 1e-6 ? one : best));
  return { turn, tilt: TILT };
}

const stand = (layout) => state.stand ?? firstStand(state.study.brief, layout.bays);

const turnTo = ({ turn, tilt }) =>
  set({ stand: { turn: ((turn % 360) + 360) % 360, tilt: Math.min(STEEPEST, Math.max(FLATTEST, tilt)) } });

/** Place on screen of a point of the room (x, y in plan with y down, z up), before fitting. */
function projector({ turn, tilt }) {
  const [ct, st, cp, sp] = [Math.cos(radians(turn)), Math.sin(radians(turn)), Math.cos(radians(tilt)), Math.sin(radians(tilt))];
  return {
    to: ([x, y, z]) => [x * ct - y * st, (x * st + y * ct) * sp - z * cp],
    // From the eye into the room.
    view: [-st * cp, -ct * cp, -sp],
  };
}

/** The model of a layout, to be turned. */
export function modelView(layout) {
  const where = stand(layout);
  const begin = (event) => dragged(event, (dx, dy) => turnTo({ turn: where.turn - dx / 3, tilt: where.tilt + dy / 4 }));
  return html`<figure class="model"><svg class="drawing model" viewBox="0 0 ${WIDTH} ${HEIGHT}" tabindex="0" role="slider" aria-label="Model of layout ${layout.rank}: turn it with the arrow keys"
      aria-valuemin="0" aria-valuemax="360" aria-valuenow=${Math.round(where.turn)} aria-valuetext="turned ${Math.round(where.turn)} degrees, seen from ${Math.round(where.tilt)} degrees above"
      @pointerdown=${begin} @keydown=${(event) => turnByKey(event, layout)}>
    <rect class="ground-catch" width=${WIDTH} height=${HEIGHT}></rect>${painted(state.study.brief, layout, where)}
  </svg><figcaption>Drag the model, or press the arrow keys, to turn it. Walls between you and the room are left out.</figcaption></figure>`;
}

/** The model of a layout as a picture. */
export const modelPicture = (brief, layout) => html`<figure class="model first-view">
  <svg class="drawing model" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="The closet, seen from in front">${
    painted(brief, layout, firstStand(brief, layout.bays))}</svg><figcaption>The whole of it</figcaption></figure>`;

function painted(brief, layout, where) {
  const { to, view } = projector(where);
  const walls = wallsOf(brief.room);
  const corners = walls.flatMap(facesOf).flat();
  const flat = corners.map(to);
  const [xs, ys] = [flat.map(([x]) => x), flat.map(([, y]) => y)];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const scale = Math.min((WIDTH - 2 * EDGE) / (Math.max(...xs) - left), (HEIGHT - 2 * EDGE) / (Math.max(...ys) - top));
  const shift = [(WIDTH - (Math.max(...xs) - left) * scale) / 2, (HEIGHT - (Math.max(...ys) - top) * scale) / 2];
  const place = (point) => {
    const [x, y] = to(point);
    return `${((x - left) * scale + shift[0]).toFixed(1)},${((y - top) * scale + shift[1]).toFixed(1)}`;
  };
  const polygon = (kind, points) => svg`<polygon class=${kind} points=${points.map(place).join(" ")}></polygon>`;
  return svg`${polygon("model-floor", walls.map((wall) => [...wall.from, 0]))}
    ${walls.filter((wall) => wall.inward[0] * view[0] + wall.inward[1] * view[1] < 0).map((wall) => polygon("model-wall", facesOf(wall)[0]))}
    ${paintedInOrder(boxesOf(brief, layout.bays), view).map((box) => sides(box, view).map((points) => polygon(`model-${box.kind}`, points)))}`;
}

function facesOf({ from, way, length, height }) {
  const to = [from[0] + way[0] * length, from[1] + way[1] * length];
  return [[[...from, 0], [...to, 0], [...to, height[1]], [...from, height[0]]]];
}

/** The three sides of a box that the eye sees. */
function sides({ low, high }, view) {
  const pick = (axis) => (view[axis] < 0 ? high[axis] : low[axis]);
  return [0, 1, 2].map((axis) => {
    const [u, v] = [0, 1, 2].filter((one) => one !== axis);
    const at = (a, b) => {
      const point = [0, 0, 0];
      point[axis] = pick(axis);
      point[u] = a;
      point[v] = b;
      return point;
    };
    return [at(low[u], low[v]), at(high[u], low[v]), at(high[u], high[v]), at(low[u], high[v])];
  });
}

function turnByKey(event, layout) {
  const { turn, tilt } = stand(layout);
  const next = {
    ArrowLeft: { turn: turn + STEP, tilt }, ArrowRight: { turn: turn - STEP, tilt },
    ArrowUp: { turn, tilt: tilt + STEP }, ArrowDown: { turn, tilt: tilt - STEP }, Home: firstStand(state.study.brief, layout.bays),
  }[event.key];
  if (!next) return;
  event.preventDefault();
  turnTo(next);
}
