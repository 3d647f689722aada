import { XMLParser, XMLValidator } from 'fast-xml-parser';

/** A parsed element: attributes under `@name`, text under `#text`, children under their local names (an array where repeated), or bare text. */
export type XmlNode = { readonly [name: string]: unknown };

/** A long XML text with its million small elements taken out and the rest parsed. */
export interface CutXml {
  readonly root: XmlNode;
  /** Pieces of one group stand in a row in the text; `groups[g]` is the index of its first piece, and the last entry the number of pieces. */
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
 * Takes the elements with a local name out of an XML text and parses what is left, where each row of them has become `<cut n="g"/>` for group g. A
 * record of a million readings costs two integers each this way, in place of a tree of objects.
 * @returns a sentence part that says what is wrong where the text is no well-formed XML, or has a document type (a record needs none, and it is where
 * attacks on XML readers live)
 */
export function cutXml(text: string, localName: string): CutXml | { readonly problem: string } {
  if (/<!DOCTYPE/i.test(text)) return { problem: 'XML with a document type declaration' };
  const plain = text.includes('<!--')
    ? text.replace(/<!--[\s\S]*?-->/g, (comment) => ' '.repeat(comment.length))
    : text;
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
  const valid = XMLValidator.validate(rest);
  if (valid !== true)
    return { problem: `XML that breaks off or is not well-formed (${valid.err.msg.replace(/\.$/, '')})` };
  groups.push(n);
  return { root: parser.parse(rest) as XmlNode, groups: Int32Array.from(groups), starts, ends };
}

/** A single piece, parsed. */
export function parsePiece(piece: string): XmlNode {
  return parser.parse(piece) as XmlNode;
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
