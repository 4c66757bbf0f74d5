// The room: its shape, walls and heights.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { emptyRoom, lengthOf } from "../draft.js";
import { add, edit, replace, UNDO, untouched } from "../draft-changes.js";
import { faultsAt, fold, lengthField, put, sectionFaults, textField } from "../fields.js";
import { wallTitle } from "../faults.js";
import { shapeIcon } from "../icons.js";
import { depthOf } from "../room.js";
import { isRectangle, SHAPES, shapeOf } from "../shapes.js";
import { notify, state } from "../store.js";
import { frozen } from "../versions.js";
import { counted } from "./section.js";

/** The section of the room. */
export const roomSection = {
  id: "room", title: "The room", first: true,
  places: ["/room/walls", "/room/ceiling_height", "/room/measuring_tolerance"],
  told: ({ room }) => (room.walls.some((wall) => wall.length !== "") ? counted(room.walls.length, "wall") : ""),
  view: roomForm,
};

function roomForm(drawn) {
  const { room } = state.draft.brief;
  return html`
    ${shapes(room, drawn)}
    <p class="lead">Write lengths as you say them: 7' 2-1/2", 6 ft 3, 86½, 86.5 or 2180 mm. Measured at
      several heights? Type all readings with semicolons between them; the shortest counts.</p>
    ${sectionFaults("/room/walls")}
    ${sectionFaults("/room")}
    <div class="rows">${rows(room)}</div>
    <div class="grid">${lengthField("/room/ceiling_height", { label: "Ceiling height", hint: "At its lowest, from the finished floor." })}
      ${fold("room-more", faultsAt("/room/measuring_tolerance").length > 0, "More on the room", html`
        ${lengthField("/room/measuring_tolerance", { label: "A reading may be off by", placeholder: "0",
          hint: "The layout still goes in where a wall turns out that much shorter." })}
        <p><button type="button" class="plain" data-adds @click=${() => addWall(room)}>Add a wall at the end</button></p>`)}</div>`;
}

/** A row for each wall; of a rectangle, those across only where they are wanted. */
function rows(room) {
  const all = room.walls.map((wall, index) => wallRow(room, wall, index));
  if (!isRectangle(room.walls)) return all;
  const [one, two, three, four] = room.walls;
  const need = three.length !== "" || four.length !== "" || faultsAt("/room/walls/2").length > 0 || faultsAt("/room/walls/3").length > 0;
  return html`${all.slice(0, 2)}
    ${fold("across", need, `${wallTitle(three.id)} and ${wallTitle(four.id)}: as ${one.id} and ${two.id}, or more on them`, all.slice(2))}`;
}

function shapes(room, drawn) {
  const current = shapeOf(room, depthOf(drawn), state.draft.shape);
  return html`<div role="group" aria-label="Shape of the room" class="shapes">
    ${Object.entries(SHAPES).map(([key, shape]) => html`<button type="button" class="shape"
      aria-pressed=${key === current ? "true" : "false"} @click=${() => choose(key, current)}>
      ${shapeIcon(key)}<b>${shape.title}</b><small>${shape.text}</small></button>`)}
  </div>`;
}

function choose(key, current) {
  if (key === current) return;
  const { draft } = state;
  const room = { ...emptyRoom(key), ceiling_height: draft.brief.room.ceiling_height };
  const wall = Math.max(0, room.walls.findIndex((one) => one.id === "Back"));
  const hadMeasures = draft.brief.room.walls.some((one) => one.length !== "");
  replace("another shape", frozen({ ...draft, shape: key, brief: { ...draft.brief, room, pins: [], mount_pins: [] } }),
    { wall, touched: untouched("/room") });
  notify(`${SHAPES[key].title}: ${counted(room.walls.length, "wall")}.`, hadMeasures ? UNDO : null);
}

function wallRow(room, wall, index) {
  const base = `/room/walls/${index}`;
  const across = isRectangle(room.walls) ? room.walls[(index + 2) % 4] : null;
  const same = across && lengthOf(across.length, state.draft.brief.units) !== null;
  const sloped = wall.height !== null && typeof wall.height === "object";
  const details = [`${base}/height`, `${base}/studs`, `${base}/id`, `${base}/corner`];
  const need = details.some((pointer) => faultsAt(pointer).length) || sloped;
  return html`<div class="row">
    <div class="grid">
      ${lengthField(`${base}/length`, {
        label: `${wallTitle(wall.id)}, length`, several: true,
        placeholder: same ? `as ${across.id}` : "",
      })}
      ${fold(base, need, html`More<span class="unseen"> on ${wallTitle(wall.id)}</span>`, html`
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
            ? html`<button type="button" class="plain" @click=${() => removeWall(index)}>Remove this wall</button>`
            : nothing}
        </div>`)}
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

/** Lists of the room whose entries belong to a wall. */
const ON_WALLS = ["openings", "obstructions", "keep_clear"];

const eachOnWalls = (room, change) =>
  Object.fromEntries(ON_WALLS.filter((list) => room[list]).map((list) => [list, change(room[list])]));

/** What of an earlier layout is kept on walls. */
const eachKept = ({ pins = [], mount_pins: mounts = [] }, change) => ({ pins: change(pins), mount_pins: change(mounts) });

function rename(index, value) {
  edit("a wall's name", (brief) => {
    const before = brief.room.walls[index].id;
    const moved = (list) => list.map((thing) => (thing.wall === before ? { ...thing, wall: value } : thing));
    const walls = brief.room.walls.map((wall, at) => (at === index ? { ...wall, id: value } : wall));
    return { ...brief, ...eachKept(brief, moved), room: { ...brief.room, ...eachOnWalls(brief.room, moved), walls } };
  }, { group: `/room/walls/${index}/id`, touched: new Set(state.touched).add(`/room/walls/${index}/id`) });
}

function addWall(room) {
  const names = new Set(room.walls.map((wall) => wall.id));
  let number = room.walls.length + 1;
  while (names.has(`Wall ${number}`)) number += 1;
  add("/room/walls", { id: `Wall ${number}`, length: "", corner: "inside" }, "another wall");
}

function removeWall(index) {
  const { id } = state.draft.brief.room.walls[index];
  edit(`removing ${wallTitle(id)}`, (brief) => {
    const walls = brief.room.walls.filter((_, at) => at !== index);
    const left = (list) => list.filter((thing) => thing.wall !== id);
    return { ...brief, ...eachKept(brief, left), room: { ...brief.room, ...eachOnWalls(brief.room, left), walls } };
  }, { wall: 0, touched: untouched("/room") });
  notify(`Removed: ${wallTitle(id)} and what is on it.`, UNDO);
}
