// Each thing that takes the focus, and the contrast of its mark with what lies around it (relative
// luminance as WCAG 2.2 defines it); 0 where no mark is seen.
() => {
  const paint = document.createElement("canvas").getContext("2d", {willReadFrequently: true});
  const rgb = colour => {
    paint.clearRect(0, 0, 1, 1);
    paint.fillStyle = colour;
    paint.fillRect(0, 0, 1, 1);
    return [...paint.getImageData(0, 0, 1, 1).data];
  };
  const light = ([r, g, b]) => {
    const part = one => (one /= 255) <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4;
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const ratio = (one, other) => {
    const [a, b] = [light(rgb(one)), light(rgb(other))].sort((x, y) => y - x);
    return (a + 0.05) / (b + 0.05);
  };
  const behind = one => {
    for (let at = one; at; at = at.parentElement) {
      const {backgroundColor} = getComputedStyle(at);
      if (rgb(backgroundColor)[3] === 255) return backgroundColor;
    }
    return "white";
  };
  const root = getComputedStyle(document.documentElement);
  const surfaces = name => root.getPropertyValue(name).trim();
  const drawn = one => [...one.querySelectorAll("*")].map(part => {
    const {stroke, strokeWidth, strokeOpacity} = getComputedStyle(part);
    return [stroke, parseFloat(strokeWidth), strokeOpacity];
  });
  const told = one => one.getAttribute("aria-label") || one.textContent.trim() || one.id;
  const found = [];
  const all = document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']");
  for (const one of all) {
    if (one.disabled || one.tabIndex < 0 || !one.checkVisibility({visibilityProperty: true})) continue;
    document.activeElement.blur();
    const plain = drawn(one);
    one.focus({focusVisible: true, preventScroll: true});
    if (document.activeElement !== one) continue;
    // A field that nothing is seen of has its mark on what stands for it.
    const marked = one.matches(".unseen") ? one.parentElement : one;
    const {outlineStyle, outlineWidth, outlineColor} = getComputedStyle(marked);
    if (outlineStyle !== "none" && parseFloat(outlineWidth) >= 2) {
      found.push([told(one), ratio(outlineColor, behind(marked.parentElement))]);
      continue;
    }
    const shown = drawn(one).find(([stroke, wide, there], at) =>
      stroke !== "none" && wide >= 2 && Number(there) === 1 && String([stroke, wide, there]) !== String(plain[at]));
    const under = one.closest(".sheet") ? ["--sheet"] : ["--card", "--paper"];
    found.push([told(one), shown ? Math.min(...under.map(name => ratio(shown[0], surfaces(name)))) : 0]);
  }
  return found;
}
