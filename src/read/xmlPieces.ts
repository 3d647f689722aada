import { XMLParser, XMLValidator } from 'fast-xml-parser';
import { inThousands, LIMITS } from './limits.js';

/**
 * A parsed element: attributes under `@name`, text under `#text`, children under their local names (an array where repeated), or bare text.
 */
export type XmlNode = { readonly [name: string]: unknown };

/** A long XML text with its million small elements taken out and the rest parsed. */
export interface CutXml {
  readonly root: XmlNode;
  /**
   * Pieces of one group stand in a row in the text; `groups[g]` is the index of its first piece, and the last entry the number of pieces.
   */
  readonly groups: Int32Array;
  /** text[starts[i], ends[i]) is piece i with its tags. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
}

// Entities stay as written: no file of ours needs them in what is compared, and a bomb of nested ones stays a string.
const parser = new XMLParser({
  ignoreAttributes: false,
  attributeNamePrefix: '@',
  removeNSPrefix: true,
  parseTagValue: false,
  parseAttributeValue: false,
  processEntities: false,
});

/**
 * Takes the elements with a local name out of an XML text and parses what is left, where each row of them has become `<cut n="g"/>` for
 * group g. A record of a million readings costs two integers each this way, in place of a tree of objects.
 * @returns a sentence part that says what is wrong where the text is no well-formed XML, or has a document type (a record needs none, and
 * it is where attacks on XML readers live); `most` beside it where it is above a limit
 */
export function cutXml(text: string, localName: string): CutXml | XmlProblem {
  if (/<!DOCTYPE/i.test(text)) return { problem: 'XML with a document type declaration' };
  const plain = withoutComments(text);
  if (plain === undefined) return { problem: 'XML that breaks off or is not well-formed (a comment is not closed)' };
  const opening = new RegExp(`<([\\w.-]+:)?${localName}(?=[\\s/>])`, 'g');
  let capacity = 1024;
  let starts = new Int32Array(capacity);
  let ends = new Int32Array(capacity);
  const groups: number[] = [];
  const kept: string[] = [];
  let n = 0;
  let keptTo = 0;
  for (let match = opening.exec(plain); match !== null; match = opening.exec(plain)) {
    const start = match.index;
    const tagEnd = endOfTag(plain, opening.lastIndex);
    if (tagEnd < 0) break;
    const closing = `</${match[1] ?? ''}${localName}`;
    const close = plain.charCodeAt(tagEnd - 2) === 47 ? -1 : plain.indexOf(closing, tagEnd);
    const end = plain.charCodeAt(tagEnd - 2) === 47 ? tagEnd : close < 0 ? -1 : plain.indexOf('>', close) + 1;
    // Never closed: it stays in the rest, where the validator finds it.
    if (end <= 0) break;
    if (n === 0 || !blank(plain, ends[n - 1]!, start)) {
      kept.push(plain.slice(keptTo, start), `<cut n="${groups.length}"/>`);
      groups.push(n);
    }
    if (n === LIMITS.readings) return { problem: `more than ${inThousands(n)} readings`, most: 'that many' };
    if (n === capacity) {
      capacity *= 2;
      starts = grown(starts, capacity);
      ends = grown(ends, capacity);
    }
    starts[n] = start;
    ends[n++] = end;
    keptTo = end;
    opening.lastIndex = end;
  }
  kept.push(plain.slice(keptTo));
  const rest = kept.join('');
  const above = aboveLimit(rest);
  if (above !== undefined) return above;
  const valid = XMLValidator.validate(rest);
  if (valid !== true)
    return {
      problem: `XML that breaks off or is not well-formed (${valid.err.msg.replace(/\.$/, '').slice(0, 120)})`,
    };
  const root = parsed(rest);
  if (root === undefined) return { problem: 'XML with elements whose names are refused' };
  groups.push(n);
  return { root, groups: Int32Array.from(groups), starts, ends };
}

/** Why an XML text is not read; `most` is what a limit allows, where it is above one. */
export interface XmlProblem {
  readonly problem: string;
  readonly most?: string;
}

/** A single piece, parsed; an empty node where it cannot be. */
export function parsePiece(piece: string): XmlNode {
  return (
    (piece.length > LIMITS.quotedLetters || tooManyAttributes(piece, 0, piece.length) ? undefined : parsed(piece)) ?? {}
  );
}

function parsed(text: string): XmlNode | undefined {
  try {
    return parser.parse(text) as XmlNode;
  } catch {
    return undefined;
  }
}

/** The text with blanks in place of comments, so that every other letter keeps its place; undefined where one is not closed. */
function withoutComments(text: string): string | undefined {
  let from = text.indexOf('<!--');
  if (from < 0) return text;
  const parts: string[] = [];
  let keptTo = 0;
  for (; from >= 0; from = text.indexOf('<!--', keptTo)) {
    const end = text.indexOf('-->', from + 4);
    if (end < 0) return undefined;
    parts.push(text.slice(keptTo, from), ' '.repeat(end + 3 - from));
    keptTo = end + 3;
  }
  parts.push(text.slice(keptTo));
  return parts.join('');
}

/** What of a text without its readings is too much for a parser that makes an object of each element. */
function aboveLimit(rest: string): XmlProblem | undefined {
  let elements = 0;
  let depth = 0;
  for (let at = rest.indexOf('<'); at >= 0; at = rest.indexOf('<', at + 1)) {
    const code = rest.charCodeAt(at + 1);
    if (code === 47) depth--;
    if (code === 47 || code === 33 || code === 63) continue;
    if (++elements > LIMITS.xmlElements)
      return {
        problem: `XML with more than ${inThousands(LIMITS.xmlElements)} elements besides its readings`,
        most: 'that many',
      };
    const end = endOfTag(rest, at + 1);
    if (end < 0) return undefined;
    if (tooManyAttributes(rest, at, end))
      return {
        problem: `XML with more than ${LIMITS.xmlAttributes} attributes in an element`,
        most: 'that many',
      };
    if (rest.charCodeAt(end - 2) !== 47 && ++depth > LIMITS.xmlDepth)
      return { problem: `XML with more than ${LIMITS.xmlDepth} elements inside each other`, most: 'that many' };
    at = end - 1;
  }
  return rest.length > LIMITS.xmlLetters
    ? {
        problem: `XML with ${inThousands(rest.length)} letters besides its readings`,
        most: inThousands(LIMITS.xmlLetters),
      }
    : undefined;
}

/** A short tag cannot hold so many: it is not looked at. */
function tooManyAttributes(text: string, from: number, to: number): boolean {
  if (to - from < LIMITS.xmlAttributes * 4) return false;
  return text.slice(from, to).split(/=\s*["']/).length - 1 > LIMITS.xmlAttributes;
}

/** Index after the `>` that ends a tag, quotes respected; -1 where it is not ended. */
function endOfTag(text: string, from: number): number {
  let quote = 0;
  for (let i = from; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (quote !== 0) {
      if (code === quote) quote = 0;
    } else if (code === 34 || code === 39) quote = code;
    else if (code === 62) return i + 1;
  }
  return -1;
}

function blank(text: string, from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (text.charCodeAt(i) > 32) return false;
  return true;
}

function grown(array: Int32Array, size: number): Int32Array<ArrayBuffer> {
  const larger = new Int32Array(size);
  larger.set(array);
  return larger;
}

/** A child that may be absent, single or repeated, as an array. */
export function each(value: unknown): readonly unknown[] {
  return value === undefined ? [] : Array.isArray(value) ? value : [value];
}

/** The first child along a path of local names; undefined where one is missing. */
export function child(node: unknown, ...path: readonly string[]): unknown {
  let at: unknown = node;
  for (const name of path) {
    at = each(at)[0];
    if (typeof at !== 'object' || at === null) return undefined;
    at = (at as XmlNode)[name];
  }
  return each(at)[0];
}

/** The text of an element, trimmed; undefined where there is none. */
export function textOf(node: unknown): string | undefined {
  const raw = typeof node === 'object' && node !== null ? (node as XmlNode)['#text'] : node;
  if (typeof raw !== 'string' && typeof raw !== 'number') return undefined;
  const text = String(raw).trim();
  return text === '' ? undefined : text;
}

/** An attribute, trimmed; undefined where it is absent or empty. */
export function attribute(node: unknown, name: string): string | undefined {
  return textOf(child(node, `@${name}`));
}

/** All elements with a local name anywhere below a node, in document order. */
export function descendants(node: unknown, name: string): readonly XmlNode[] {
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([key, value]) =>
    each(value).flatMap((inner): readonly XmlNode[] =>
      key === name && typeof inner === 'object' && inner !== null
        ? [inner as XmlNode, ...descendants(inner, name)]
        : descendants(inner, name),
    ),
  );
}

/** The names of all elements below a node. */
export function elementNames(node: unknown, names = new Set<string>()): ReadonlySet<string> {
  if (typeof node === 'object' && node !== null)
    for (const [name, value] of Object.entries(node)) {
      if (name.startsWith('@') || name === '#text') continue;
      if (!Array.isArray(node)) names.add(name);
      elementNames(value, names);
    }
  return names;
}
