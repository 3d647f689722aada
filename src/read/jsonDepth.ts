/** True where a JSON text has more lists and objects inside each other than `most`; brackets inside its strings do not count. */
export function deeperThan(text: string, most: number): boolean {
  let depth = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 34) {
      for (i++; i < text.length && text.charCodeAt(i) !== 34; i++) if (text.charCodeAt(i) === 92) i++;
    } else if (code === 91 || code === 123) {
      if (++depth > most) return true;
    } else if (code === 93 || code === 125) depth--;
  }
  return false;
}
