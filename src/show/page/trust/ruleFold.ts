import { measuredText, percentText } from '../../../chart/figures/percentText.js';
import { valueText } from '../../../chart/figures/valueText.js';
import type { JudgedCost, JudgedRules } from '../../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../../series/units.js';
import { table } from '../details.js';
import { BANK, foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { countText } from './numberText.js';
import { howReadForRule } from './howReadForRule.js';
import type { TrustContent } from './trustContent.js';

/** Rules of the frontier that the table names. */
const ROWS = 6;

/** What "go when the gauge reads A to B" costs, for all A and B worth thinking about. */
export function ruleFold({ panel, judgement, figures, cautions }: TrustContent): Html {
  const { rules, unit } = judgement;
  const title = 'The cost of a rule';
  const look =
    'marks far down and far left: few good days missed, few days found too high. Going left costs good days; going down costs days that hurt.';
  if (rules === null)
    return foldedPiece(title, { look, body: html``, seen: 'No visit with a reading to try a rule on.' });
  return foldedPiece(title, {
    look,
    body: html`${picture(
        figures,
        `${panel.id}-rule`,
        'Each mark is a rule that no other beats, by the odds that each logged day had with its own flood left out. Diamond: the chosen rule as it did on floods it was not chosen by, with 80 % intervals both ways.',
      )}
      ${ruleTable(rules, unit)}
      <p class="note">
        Shares of logged days, not of the calendar: people log when it runs. Wasted: found below the good range. Found
        too high: in the class that means too much; a class between good and that one counts as neither.
        ${howReadForRule(panel, judgement)}
      </p>
      <p class="heed">${cautions[0]} ${BANK}</p>`,
    seen: ruleSeen(rules, unit),
  });
}

function ruleTable({ chosen, sureGood, frontier }: JudgedRules, unit: GaugeUnit): Html {
  const name = (rule: { readonly atLeast: number; readonly atMost: number }) =>
    `${valueText(rule.atLeast)} to ${valueText(rule.atMost)}`;
  const counted = (what: string, rule: string, { goDays, days, tooHigh, wasted, missed }: JudgedCost) => [
    what,
    rule,
    `${countText(goDays)} of ${countText(days)}`,
    measuredText(tooHigh),
    measuredText(wasted),
    measuredText(missed),
  ];
  const worth = frontier.filter(({ missed }) => missed < 0.9);
  const step = Math.max(1, (worth.length - 1) / (ROWS - 1));
  const some = [...new Set(Array.from({ length: ROWS }, (_, i) => Math.round(i * step)))].flatMap(
    (i) => worth[i] ?? [],
  );
  return table(
    'What rules would have cost',
    ['', unitLabel(unit), 'Days gone', 'Found too high', 'Wasted', 'Good days missed'],
    [
      ...(chosen === null
        ? []
        : [
            counted('Chosen, tested on other floods', name(chosen.rule), chosen.costLeftOut),
            counted('Chosen, on the days it was chosen by', name(chosen.rule), chosen.cost),
          ]),
      ...(sureGood === null ? [] : [counted('Only where good is sure', name(sureGood.rule), sureGood.cost)]),
      ...some.map((rule, i) => [
        `By the odds${i === 0 ? ', the most careful' : i === some.length - 1 ? ', the boldest' : ''}`,
        name(rule),
        '',
        percentText(rule.tooHigh),
        percentText(rule.wasted),
        percentText(rule.missed),
      ]),
    ],
  );
}

function ruleSeen({ chosen, rate }: JudgedRules, unit: GaugeUnit): string {
  if (chosen === null) return `no rule is chosen for days found too high under ${percentText(rate)}`;
  const { rule: chosenRule, costLeftOut } = chosen;
  const rule = `${valueText(chosenRule.atLeast)} to ${valueText(chosenRule.atMost)} ${unitLabel(unit)}`;
  if (!(costLeftOut.goDays > 0)) return `${rule} holds only by a single flood; without it there is no rule`;
  return `${rule}, tested on floods it was not chosen by: too high on ${measuredText(costLeftOut.tooHigh)} of the days gone, ${measuredText(costLeftOut.missed)} of the good days missed`;
}
