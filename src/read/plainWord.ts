import { withoutUnseen } from '../series/unseen.js';

/** A word as ids and classes are compared: composed letters (NFC), no case, single blanks, none around it. */
export function plainWord(word: string): string {
  return word.normalize('NFC').trim().toLowerCase().replace(/\s+/g, ' ');
}

/**
 * Letters, digits and marks that look like one of ASCII, in pairs (Unicode confusables, the ones that keyboards and word processors make;
 * from memory).
 */
const LOOK_ALIKES = new Map(
  'аaеeоoрpсcуyхxіiјjѕsԁdһhοoαaνvιiκkАAВBЕEКKМMНHОOРPСCТTХXΟOΑAΒBΕEΗHΙIΚKΜMΝNΡPΤTΧX−-–-—-‐-‑-：:．.，,／/'
    .match(/../gu)!
    .map((pair) => [pair[0]!, pair[1]!] as const),
);

/**
 * What a text holds that the eye misses: a character that shows nothing, or one that only looks like another; undefined where it holds
 * none.
 * @example hiddenLetters('g\u043eod') // "'о' (U+043E) only looks like 'o'."
 */
export function hiddenLetters(text: string): string | undefined {
  const letters = [...text];
  const code = (letter: string) => `U+${letter.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`;
  const unseen = letters.find((letter) => withoutUnseen(letter) === '');
  if (unseen !== undefined) return `It holds a character that shows nothing (${code(unseen)}): type it anew.`;
  const alike = letters.find((letter) => LOOK_ALIKES.has(letter) || /[０-９]/.test(letter));
  if (alike === undefined) return undefined;
  const meant = LOOK_ALIKES.get(alike) ?? alike.normalize('NFKC');
  return `'${alike}' (${code(alike)}) only looks like '${meant}': type it anew.`;
}
