/**
 * The candidate that a mistyped word most likely meant: least edits (Levenshtein: letters put in, left out or changed; case ignored), at
 * most a third of the longer word's letters and never the whole word. The first of equally near ones; undefined where none is near.
 * @example nearestWord('hgih', ['low', 'high', 'too high']) // 'high'
 */
export function nearestWord(word: string, candidates: readonly string[]): string | undefined {
  const typed = word.trim().toLowerCase();
  let best: string | undefined;
  let fewest = Infinity;
  for (const candidate of candidates) {
    const meant = candidate.toLowerCase();
    const longer = Math.max(typed.length, meant.length);
    // Two swapped letters are two edits, so a short word is allowed two as long as something of it is left.
    const allowed = Math.min(Math.max(2, Math.floor(longer / 3)), longer - 1);
    const edits = editDistance(typed, meant);
    if (edits <= allowed && edits < fewest) {
      fewest = edits;
      best = candidate;
    }
  }
  return best;
}

/** Levenshtein distance with one row of the table kept. */
export function editDistance(a: string, b: string): number {
  if (Math.abs(a.length - b.length) > 40) return Infinity;
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++)
      row.push(Math.min(row[j - 1]! + 1, above[j]! + 1, above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    above = row;
  }
  return above[b.length]!;
}

/** ` Did you mean 'high'?`-style hint, or undefined. */
export function didYouMean(word: string, candidates: readonly string[]): string | undefined {
  const near = nearestWord(word, candidates);
  return near === undefined ? undefined : `Did you mean '${near}'?`;
}
