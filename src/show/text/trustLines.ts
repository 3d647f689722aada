import type { Judgement } from '../../judge/judgement.js';
import { shortTrust, type TrustParagraph } from './shortTrust.js';
import { wrapText } from './wrapText.js';

/** Lines below the heading that the short part takes at most in a terminal of 80 columns; narrower ones get as many more as they need. */
export const MOST_LINES = 12;

/**
 * The short part for a terminal: a heading, then a paragraph a matter. Where it would be longer than 12 lines, what would improve it is cut from
 * its end, then the reasons are: the first of each always stays.
 */
export function trustLines(
  judgement: Judgement,
  { width, evidence, indent = '   ' }: { width: number; evidence: string; indent?: string },
): readonly string[] {
  const heading = wrapText(`How far to trust it (${evidence}):`, { width, first: indent });
  const most = Math.ceil((MOST_LINES * 80) / width);
  const inner = `${indent}  `;
  const laidOut = (paragraphs: readonly TrustParagraph[]) =>
    paragraphs.flatMap(({ label, sentences }) =>
      wrapText(`${label}: ${sentences.join(' ')}`, { width, first: `${indent}- `, rest: inner }),
    );
  let paragraphs = shortTrust(judgement);
  let lines = laidOut(paragraphs);
  for (const label of ['What would improve it', 'Why'])
    while (lines.length > most && lengthOf(paragraphs, label) > 1) {
      paragraphs = paragraphs.map((p) => (p.label === label ? { ...p, sentences: p.sentences.slice(0, -1) } : p));
      lines = laidOut(paragraphs);
    }
  return [...heading, ...lines];
}

function lengthOf(paragraphs: readonly TrustParagraph[], label: string): number {
  return paragraphs.find((p) => p.label === label)?.sentences.length ?? 0;
}
