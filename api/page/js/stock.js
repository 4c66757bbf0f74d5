// Short lists the form offers. Sizes of bulky things are our own typical ones, in inches:
// they are there to be changed to what was measured.

export const BULKY = [
  { id: "suitcase", title: "Suitcase, large", width: 20, depth: 12, height: 30, place: "floor", weight: 10, use: "seldom" },
  { id: "cabin bag", title: "Cabin bag", width: 14, depth: 9, height: 22, place: "any", weight: 6, use: "seldom" },
  { id: "hamper", title: "Laundry hamper", width: 18, depth: 16, height: 26, place: "floor", weight: 15, use: "daily" },
  { id: "vacuum cleaner", title: "Vacuum cleaner", width: 12, depth: 14, height: 44, place: "floor", weight: 17, use: "weekly" },
  { id: "ironing board", title: "Ironing board, folded", width: 15, depth: 5, height: 56, place: "floor", weight: 12, use: "weekly" },
  { id: "step stool", title: "Step stool, folded", width: 18, depth: 5, height: 34, place: "floor", weight: 11, use: "weekly" },
  { id: "storage box", title: "Storage box", width: 16, depth: 12, height: 12, place: "any", weight: 12, use: "seldom" },
  { id: "blanket bag", title: "Bag of blankets", width: 22, depth: 14, height: 12, place: "any", weight: 8, use: "seldom" },
  { id: "boots", title: "Tall boots, one pair", width: 12, depth: 12, height: 19, place: "any", weight: 4, use: "daily" },
  { id: "trunk", title: "Trunk", width: 32, depth: 18, height: 18, place: "floor", weight: 45, use: "seldom" },
  { id: "sewing machine", title: "Sewing machine, cased", width: 18, depth: 9, height: 13, place: "any", weight: 18, use: "weekly" },
  { id: "golf bag", title: "Golf bag", width: 14, depth: 14, height: 48, place: "floor", weight: 28, use: "weekly" },
];

/** Kinds of garment that the service counts, under what they are hung as. */
export const GARMENTS = [
  ["Shirts, trousers, jackets", [
    "shirt", "men's shirt", "women's shirt", "blouse", "sweater", "waistcoat", "skirt", "trousers",
    "men's trousers", "women's trousers", "jacket", "women's jacket", "suit", "women's suit"]],
  ["Longer", ["full-length trousers", "short dress", "long skirt", "short coat"]],
  ["Full length", ["dress", "coat", "raincoat", "long coat", "gown", "robe"]],
  ["Children's", ["child's shirt", "child's trousers", "child's jacket", "child's dress", "child's coat"]],
];

/** Kinds of things that the service knows the shelf of, with what one of them is. */
export const STORED = [
  ["Footwear, in pairs", ["shoes", "men's shoes", "women's shoes", "child's shoes", "ankle boots", "boots"]],
  ["Clothes, in pieces", ["folded", "sweaters", "jeans", "hats", "bags"]],
  ["Linen", ["towels", "sheets", "bedding", "pillows"]],
  ["Pantry", ["jars", "cans", "bottles"]],
  ["Paper", ["books", "binders"]],
];
const FOOTWEAR = new Set(STORED[0][1]);

/** So many of a kind in words: shoes, 4 pairs. */
export const storedText = (kind, count) =>
  `${kind}, ${count}${FOOTWEAR.has(kind) ? ` pair${count === 1 ? "" : "s"}` : ""}`;

export const OPENING_KINDS = {
  cased: "Open doorway, no door",
  hinged_out: "Door that swings out",
  hinged_in: "Door that swings in",
  bifold: "Bifold doors",
  sliding: "Sliding doors",
};

/** What may be on a wall, with typical sizes in inches to start from. */
export const OBSTRUCTIONS = {
  window: { title: "Window", width: 30, bottom: 36, height: 36 },
  outlet: { title: "Outlet", width: 5, bottom: 12, height: 5 },
  switch: { title: "Switch", width: 4, bottom: 46, height: 5 },
  vent: { title: "Vent", width: 12, bottom: 4, height: 6 },
  hatch: { title: "Hatch or access panel", width: 15, bottom: 20, height: 15 },
  pipe: { title: "Pipe", width: 5, bottom: 0, height: 90, projection: 5 },
  beam: { title: "Beam", width: 30, bottom: 86, height: 8, projection: 6 },
  radiator: { title: "Radiator", width: 36, bottom: 4, height: 24, projection: 6 },
  light: { title: "Light", width: 8, bottom: 90, height: 6, setback: 10, projection: 18 },
  other: { title: "Something else", width: 6, bottom: 30, height: 6 },
};

/** A mirror to start from [in]. */
export const MIRROR = { width: 16, height: 56 };

/** Size of a box kept clear to start from: the working space before an appliance [in]. */
export const KEPT_CLEAR = { width: 30, height: 78, depth: 30 };

export const TOP_LINES = { level: "One height all round", free: "Each bay at its own height" };
export const WALL_ENDS = { cleats: "On wall cleats", uprights: "On uprights" };
export const MID_SUPPORTS = {
  triangle: "Triangles of board", bracket: "Bought brackets", none: "None: shorter spans",
};

export const PLACES = { floor: "On the floor", shelf: "On a shelf", any: "Either" };
export const USES = { daily: "Every day", weekly: "Now and then", seldom: "Seldom" };

export const MATERIALS = {
  mdf: "MDF",
  particleboard: "Particleboard",
  plywood: "Plywood",
  white_pine: "White pine boards",
  ponderosa_pine: "Ponderosa pine boards",
};

/** What each priority means. */
export const PRIORITIES = {
  hanging: ["Hanging", "More rod than you asked for"],
  shelving: ["Shelves", "More shelf than you asked for"],
  open_floor: ["Open floor", "Bays kept free at floor level"],
  easy_reach: ["Easy reach", "Rods and shelves you reach without stretching"],
  low_cost: ["Low cost", "Fewer and cheaper boards"],
  simple_build: ["Simple build", "Fewer parts to cut and fit"],
};

export const FIRST_WEIGHTS = {
  hanging: 3, shelving: 2, open_floor: 1, easy_reach: 1, low_cost: 1, simple_build: 1,
};
