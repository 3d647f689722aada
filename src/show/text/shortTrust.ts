import type { CreekTrust, Judgement } from '../../judge/judgement.js';

/** One paragraph of the short part: its label and its sentences, the most important first. */
export interface TrustParagraph {
  readonly label: string;
  readonly sentences: readonly string[];
}

/** Reasons that are shown at most; the rest stand in trust.json. */
const MOST_REASONS = 3;

/**
 * How far to trust one gauge, in what a paddler reads in a minute: why this grade, how often it is wrong and in which direction, a rule with its cost, what deciding
 * early costs, what would make it better. Paragraphs without anything to say are left out.
 */
export function shortTrust({ reasons, scores, rules, leadCurve, improve }: Judgement): readonly TrustParagraph[] {
  const paragraphs = [
    { label: 'Why', sentences: reasons.slice(0, MOST_REASONS) },
    { label: 'How often wrong', sentences: scores === null ? [] : [scores.sentence] },
    { label: 'A rule', sentences: rules === null ? [] : [rules.sentence] },
    { label: 'Deciding early', sentences: leadCurve === null ? [] : [leadCurve.sentence] },
    { label: 'What would improve it', sentences: improve },
  ];
  return paragraphs.filter(({ sentences }) => sentences.length > 0);
}

/** Said once where the whole creek was judged quickly; undefined where it was not. */
export function quickNote({ runs }: CreekTrust): string | undefined {
  return runs.some(({ gauges }) => gauges.some(({ depth, scores }) => depth === 'quick' && scores !== null))
    ? 'Judged quickly: floods were left out by weights, not by fits of their own, and what deciding early costs was not looked at. Without --quick both are.'
    : undefined;
}
