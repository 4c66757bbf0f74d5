// Small pencil sketches of rooms, seen from above.

import { html, svg } from "../vendor/lit-html/lit-html.js";

const PATHS = {
  reach_in: "M6 12H58V30H46M18 30H6V12 M18 30l7 6 7-6 M46 30l-7 6-7-6",
  walk_in: "M14 6H50V42H40M26 42H14V6 M40 42A14 14 0 0 1 26 56",
  l_shape: "M8 8H56V26H34V44H26M14 44H8V8",
  corner: "M12 44V8H56",
  alcove: "M10 34V12H54V34",
  one_wall: "M6 14H58",
  own: "M8 30V10H40V22H56V44H8Z",
};

/** A sketch of a room's shape. */
export const shapeIcon = (shape) => html`<svg viewBox="0 0 64 52" class="sketch" aria-hidden="true">
  ${svg`<path d=${PATHS[shape]}></path>`}
</svg>`;
