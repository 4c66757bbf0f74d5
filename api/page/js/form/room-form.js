// The room: its shape, walls and heights.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { changed } from "../checking.js";
import { emptyRoom, lengthOf } from "../draft.js";
import { faultsAt, forgetTouched, lengthField, put, sectionFaults, textField } from "../fields.js";
import { wallTitle } from "../faults.js";
import { shapeIcon } from "../icons.js";
import { depthOf } from "../room.js";
import { isRectangle, SHAPES, shapeOf } from "../shapes.js";
import { announce, state } from "../store.js";

/** The fieldset of the room. */
export function roomForm(drawn) {
  const { room } = state.draft.brief;
  return html`<fieldset class="part" id="part-room">
    <legend><h2><span class="num">1</span> The room</h2></legend>
    <p class="lead">Measure each wall in at least three heights and type all readings, apart by
      semicolons: the shortest counts. Write lengths as you say them: 7' 2-1/2", 6 ft 3, 86½, 86.5 or 2180 mm.</p>
    ${shapes(room, drawn)}
    ${sectionFaults("/room/walls")}
    ${sectionFaults("/room")}
    <div class="rows">${room.walls.map((wall, index) => wallRow(room, wall, index))}</div>
    <p><button type="button" class="plain" data-adds @click=${() => addWall(room)}>Add a wall at the end</button></p>
    <div class="grid">${lengthField("/room/ceiling_height", { label: "Ceiling height", hint: "At its lowest, from the finished floor." })}
      ${lengthField("/room/measuring_tolerance", { label: "A reading may be off by", placeholder: "0",
        hint: "The layout still goes in where a wall turns out that much shorter." })}</div>
  </fieldset>`;
}

function shapes(room, drawn) {
  const current = shapeOf(room, depthOf(drawn));
  return html`<div role="radiogroup" aria-label="Shape of the room" class="shapes">
    ${Object.entries(SHAPES).map(([key, shape]) => html`<label class="shape">
      <input type="radio" name="shape" value=${key} .checked=${key === current} @change=${() => choose(key)}>
      <span class="card">${shapeIcon(key)}<b>${shape.title}</b><small>${shape.text}</small></span>
    </label>`)}
  </div>`;
}

function choose(key) {
  const { brief } = state.draft;
  const before = brief.room;
  brief.room = { ...emptyRoom(key), ceiling_height: before.ceiling_height };
  brief.pins = [];
  forgetTouched("/room");
  state.wall = brief.room.walls.findIndex((wall) => wall.id === "Back");
  if (state.wall < 0) state.wall = 0;
  announce(`${SHAPES[key].title}: ${brief.room.walls.length} walls.`);
  changed();
}

function wallRow(room, wall, index) {
  const base = `/room/walls/${index}`;
  const across = isRectangle(room.walls) ? room.walls[(index + 2) % 4] : null;
  const same = across && lengthOf(across.length, state.draft.brief.units) !== null;
  const sloped = wall.height !== null && typeof wall.height === "object";
  const details = [`${base}/height`, `${base}/studs`, `${base}/id`, `${base}/corner`];
  const open = details.some((pointer) => faultsAt(pointer).length) || sloped;
  return html`<div class="row">
    <div class="grid">
      ${lengthField(`${base}/length`, {
        label: `${wallTitle(wall.id)}, length`, several: true,
        placeholder: same ? `as ${across.id}` : "",
      })}
      <details class="more" ?open=${open}>
        <summary>More<span class="unseen"> on ${wallTitle(wall.id)}</span></summary>
        <div class="grid">
          ${textField(`${base}/id`, { label: "Name", onInput: (value) => rename(index, value) })}
          ${sloped ? slope(base) : lengthField(`${base}/height`, { label: "Height, if not the ceiling's" })}
          <label class="tick"><input type="checkbox" .checked=${sloped}
            @change=${(event) => put(`${base}/height`, event.target.checked ? { left: "", right: "" } : "")}>
            The ceiling slopes along it</label>
          ${lengthField(`${base}/studs/first`, { label: "First stud from the left corner" })}
          ${lengthField(`${base}/studs/spacing`, { label: "Stud spacing" })}
          ${cornerChoice(base, wall, index, room)}
          ${room.walls.length > 1
            ? html`<button type="button" class="plain" @click=${() => removeWall(room, index)}>Remove this wall</button>`
            : nothing}
        </div>
      </details>
    </div>
  </div>`;
}

const slope = (base) => html`
  ${lengthField(`${base}/height/left`, { label: "Height at its left end" })}
  ${lengthField(`${base}/height/right`, { label: "Height at its right end" })}`;

function cornerChoice(base, wall, index, room) {
  if (room.walls.length < 2) return nothing;
  return html`<label class="tick"><input type="checkbox" .checked=${wall.corner === "outside"}
    @change=${(event) => put(`${base}/corner`, event.target.checked ? "outside" : "inside")}>
    The corner after it juts into the room</label>`;
}

function rename(index, value) {
  const { room, pins } = state.draft.brief;
  const before = room.walls[index].id;
  for (const thing of [...room.openings, ...room.obstructions, ...room.keep_clear, ...pins]) {
    if (thing.wall === before) thing.wall = value;
  }
  put(`/room/walls/${index}/id`, value);
}

function addWall(room) {
  const names = new Set(room.walls.map((wall) => wall.id));
  let number = room.walls.length + 1;
  while (names.has(`Wall ${number}`)) number += 1;
  room.walls.push({ id: `Wall ${number}`, length: "", corner: "inside" });
  changed();
}

function removeWall(room, index) {
  const [gone] = room.walls.splice(index, 1);
  room.openings = room.openings.filter((thing) => thing.wall !== gone.id);
  room.obstructions = room.obstructions.filter((thing) => thing.wall !== gone.id);
  room.keep_clear = room.keep_clear.filter((thing) => thing.wall !== gone.id);
  forgetTouched("/room");
  state.wall = 0;
  changed();
}
