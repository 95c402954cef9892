const known = new Map<string, string>();

/** A colour of the page's theme in the form that a canvas takes. */
export function themeColour(name: string): string {
  const key = `${document.documentElement.dataset.theme} ${name}`;
  let colour = known.get(key);
  if (!colour) {
    const probe = document.createElement('span');
    probe.style.color = `var(${name})`;
    document.body.append(probe);
    colour = getComputedStyle(probe).color;
    probe.remove();
    known.set(key, colour);
  }
  return colour;
}
