/*
 * Characters that show nothing of their own and yet act: controls (C0 but for tab and line ends, DEL, C1, which a terminal
 * may obey), marks that reorder text (they could swap the digits of a number), zero-width characters, fillers and tags
 * (two names that look the same would differ), line and paragraph separators. Unicode 16, chapters 23.2 to 23.9.
 */
const UNSEEN = new RegExp(
  '[' +
    String.raw`\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u00ad\u034f\u061c\u115f\u1160\u17b4` +
    String.raw`\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb` +
    String.raw`\u{1d173}-\u{1d17a}\u{e0000}-\u{e0fff}` +
    ']',
  'gu',
);

/**
 * The text without characters that show nothing and act; tabs, line ends and blanks stay.
 * @example withoutUnseen('a\u202eb') // 'ab'
 */
export function withoutUnseen(text: string): string {
  return text.replace(UNSEEN, '');
}

/**
 * The text with each of them written as `\uXXXX`, for JSON, which must give the text back.
 * @example unseenEscaped('a\u202eb') // 'a\\u202eb'
 */
export function unseenEscaped(text: string): string {
  return text.replace(UNSEEN, (character) =>
    Array.from(
      { length: character.length },
      (_, i) => `\\u${character.charCodeAt(i).toString(16).padStart(4, '0')}`,
    ).join(''),
  );
}
