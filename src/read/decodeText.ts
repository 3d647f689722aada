import type { Issue } from '../series/issue.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import type { NamedFile } from './types.js';

/** First bytes of files that are no text, and what they are. */
const NO_TEXT: readonly (readonly [first: readonly number[], what: string])[] = [
  [[0x50, 0x4b, 0x03, 0x04], 'a ZIP archive or a spreadsheet'],
  [[0x1f, 0x8b], 'a gzip archive'],
  [[0xd0, 0xcf, 0x11, 0xe0], 'an old spreadsheet'],
  [[0x25, 0x50, 0x44, 0x46], 'a PDF'],
];

/**
 * The text of a file without its byte-order mark, or the fatal issue why there is none: too large, an archive, UTF-16, or bytes that are
 * not in the stated encoding. Nothing is replaced: a character that cannot be read stops the file, because a class word could hide behind
 * it.
 */
export function decodeText(
  file: NamedFile,
  {
    encoding = 'utf-8',
    mostBytes = LIMITS.gaugeBytes,
  }: { encoding?: 'utf-8' | 'latin1' | undefined; mostBytes?: number | undefined } = {},
): { readonly text: string } | { readonly issue: Issue } {
  const { name, bytes } = file;
  const fatal = (found: string, expected: string, hint: string): { issue: Issue } => ({
    issue: { code: 'file-unreadable', severity: 'fatal', file: name, found, expected, hint },
  });
  if (bytes.length > mostBytes)
    return {
      issue: limitIssue(name, {
        found: `${inThousands(bytes.length)} bytes`,
        most: inThousands(mostBytes),
        hint: 'Cut a gauge file into several and list them all under files.',
      }),
    };
  const other = NO_TEXT.find(([first]) => first.every((byte, i) => bytes[i] === byte));
  if (other !== undefined)
    return fatal(other[1], 'a text file', 'Unpack it, or save the table as CSV, and put the text file there.');
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (utf16 || (bytes.length > 3 && bytes[0] !== 0 && bytes[1] === 0 && bytes[3] === 0))
    return fatal('UTF-16 text', 'UTF-8', 'Save the file again as UTF-8 (in a spreadsheet: CSV UTF-8).');
  if (encoding === 'latin1') {
    const marked = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
    return { text: new TextDecoder('latin1').decode(marked ? bytes.subarray(3) : bytes) };
  }
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return fatal(
      'bytes that are not UTF-8',
      'UTF-8 text',
      "Save the file as UTF-8; for a delimited gauge file, set encoding to 'latin1' if that is what it is.",
    );
  }
}

/** The encoding that an XML file declares in its first line, as far as we read it: Latin-1 under its names, else UTF-8. */
export function declaredEncoding(bytes: Uint8Array): 'utf-8' | 'latin1' {
  const head = new TextDecoder('latin1').decode(bytes.subarray(0, 200));
  const declared = /^[^<]*<\?xml[^>]*\bencoding\s*=\s*["']([\w-]+)["']/.exec(head)?.[1]?.toLowerCase() ?? '';
  return ['iso-8859-1', 'latin1', 'windows-1252', 'us-ascii'].includes(declared) ? 'latin1' : 'utf-8';
}
