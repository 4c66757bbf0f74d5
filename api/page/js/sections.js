// The sections of the form in their order. Another one is a line here and a module of its own.

import { buildSection, mattersSection } from "./form/build-form.js";
import { clothesSection, itemsSection, peopleSection } from "./form/needs-form.js";
import { roomSection } from "./form/room-form.js";
import { obstructionsSection, openingsSection } from "./form/things-form.js";

export const SECTIONS = [
  roomSection, openingsSection, clothesSection, obstructionsSection, itemsSection, peopleSection,
  buildSection, mattersSection,
];
