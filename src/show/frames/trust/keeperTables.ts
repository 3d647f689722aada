import type { CreekTrust } from '../../../judge/judgement.js';
import type { TidyTable } from '../tidyTable.js';
import { isoTime, trustTable, type TrustKey } from './trustRows.js';

export interface BiasRow {
  readonly observer: string;
  readonly sightings: number;
  readonly visits: number;
  /** ln units of the gauge; positive: says a higher class than the others at the same water. */
  readonly bias: number;
  readonly low80: number;
  readonly high80: number;
  readonly low95: number;
  readonly high95: number;
  /** Probability that the bias is above 0. */
  readonly above: number;
}

/** Who reads high. */
export function biasTable(trust: CreekTrust): TidyTable<TrustKey & BiasRow> {
  return trustTable<BiasRow>(
    'bias',
    {
      observer: 'text',
      sightings: 'number',
      visits: 'number',
      bias: 'number',
      low80: 'number',
      high80: 'number',
      low95: 'number',
      high95: 'number',
      above: 'number',
    },
    {
      trust,
      rows: ({ observers }) =>
        observers.rows.map(({ observer, sightings, visits, biasMedian, bias80, bias95, above }) => ({
          observer,
          sightings,
          visits,
          bias: biasMedian,
          low80: bias80[0],
          high80: bias80[1],
          low95: bias95[0],
          high95: bias95[1],
          above,
        })),
    },
  );
}

export interface AgreementRow {
  readonly feature: string;
  readonly name: string;
  readonly sharedVisits: number;
  readonly alpha: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
}

/** Krippendorff's α a feature, over the visits that several observers shared. */
export function agreementTable(trust: CreekTrust): TidyTable<TrustKey & AgreementRow> {
  return trustTable<AgreementRow>(
    'agreement',
    { feature: 'text', name: 'text', sharedVisits: 'number', alpha: 'number', low80: 'number', high80: 'number' },
    {
      trust,
      rows: ({ observers }) =>
        observers.agreement.map(({ feature, name, sharedVisits, alpha, i80 }) => ({
          feature,
          name,
          sharedVisits,
          alpha,
          low80: i80[0],
          high80: i80[1],
        })),
    },
  );
}

export interface PairRow {
  readonly feature: string;
  readonly first: string;
  readonly second: string;
  readonly shared: number;
  readonly kappa: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
  /** Classes that the second says more than the first, on average. */
  readonly secondHigherBy: number;
}

/** Weighted κ of pairs of observers with enough shared visits. */
export function pairsTable(trust: CreekTrust): TidyTable<TrustKey & PairRow> {
  return trustTable<PairRow>(
    'pairs',
    {
      feature: 'text',
      first: 'text',
      second: 'text',
      shared: 'number',
      kappa: 'number',
      low80: 'number',
      high80: 'number',
      secondHigherBy: 'number',
    },
    {
      trust,
      rows: ({ observers }) =>
        observers.pairs.map(({ feature, observers: [first, second], shared, kappa, i80, secondHigherBy }) => ({
          feature,
          first,
          second,
          shared,
          kappa,
          low80: i80[0],
          high80: i80[1],
          secondHigherBy,
        })),
    },
  );
}

export interface SuspectRow {
  readonly visit: string;
  /** UTC, ISO 8601. */
  readonly time: string;
  /** Lines of visits.csv, and who wrote them. */
  readonly rows: string;
  readonly observers: string;
  /** Probability that all is as written. */
  readonly sound: number;
  readonly kind: string;
  readonly explanation: string;
  readonly probability: number;
}

/** Visits that look wrong, a row an explanation, likeliest first. */
export function suspectsTable(trust: CreekTrust): TidyTable<TrustKey & SuspectRow> {
  return trustTable<SuspectRow>(
    'suspects',
    {
      visit: 'text',
      time: 'text',
      rows: 'text',
      observers: 'text',
      sound: 'number',
      kind: 'text',
      explanation: 'text',
      probability: 'number',
    },
    {
      trust,
      rows: ({ suspects }) =>
        suspects.rows.flatMap(({ visit, timeMs, rows, observers, sound, explanations }) =>
          explanations.map(({ kind, sentence, probability }) => ({
            visit,
            time: isoTime(timeMs),
            rows: rows.join(' '),
            observers: observers.join(', '),
            sound,
            kind,
            explanation: sentence,
            probability,
          })),
        ),
    },
  );
}

export interface ResidualRow {
  readonly visit: string;
  /** UTC, ISO 8601. */
  readonly time: string;
  /** State minus gauge, ln units. */
  readonly residual: number;
}

/** How far each visit's state stands from what the gauge says. */
export function residualsTable(trust: CreekTrust): TidyTable<TrustKey & ResidualRow> {
  return trustTable<ResidualRow>(
    'residuals',
    { visit: 'text', time: 'text', residual: 'number' },
    {
      trust,
      rows: ({ shift }) =>
        shift.residuals.map(({ visit, timeMs, residual }) => ({ visit, time: isoTime(timeMs), residual })),
    },
  );
}
