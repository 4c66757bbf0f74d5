export const undoHand = () => {};
export const redoHand = () => {};
