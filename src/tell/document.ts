import type { Figure } from '../chart/figures/figure.js';
import type { GaugeUnit } from '../series/units.js';
import type { RunAnswer } from './runAnswer.js';
import type { AnyTable } from './table.js';

/**
 * A document: what is said about a creek, in the order a reader meets it, without a word about how it is drawn.
 *
 * There is one document a subject and one writer a medium (terminal, Markdown, HTML, notebook). A writer knows blocks and no river; a
 * document knows the river and no medium.
 */
export interface Document {
  readonly kind: 'document';
  readonly subject: Subject;
  readonly title: string;
  /** What every medium must show in full; the first of them where nobody can miss it. */
  readonly cautions: readonly string[];
  readonly body: readonly Block[];
}

/** What a document is about. */
export type Subject =
  'answer' | 'club' | 'screen' | 'trust' | 'gauges' | 'keeper' | 'now' | 'season' | 'source' | 'changes';

/** One piece of a document. */
export type Block = Heading | Says | List | TableBlock | FigureBlock | Card | Fold;

export interface Heading {
  readonly kind: 'heading';
  /** 2 a run, 3 a gauge or a part, 4 within a part. */
  readonly level: 2 | 3 | 4;
  readonly text: string;
  /** Where links lead to (`#run`). */
  readonly id?: string;
}

/** A sentence or a few. */
export interface Says {
  readonly kind: 'says';
  readonly text: string;
  /** `caution`: about life and limb; `refusal`: there is no level to give; `note`: in small print. Default plain. */
  readonly tone?: 'caution' | 'refusal' | 'note';
}

/** Short items, one below the other. */
export interface List {
  readonly kind: 'list';
  readonly items: readonly string[];
}

/** A table as a piece of a document. */
export interface TableBlock {
  readonly kind: 'table';
  readonly table: AnyTable;
}

export interface FigureBlock {
  readonly kind: 'figure';
  /** Unique in the document. */
  readonly id: string;
  readonly figure: Figure;
  readonly caption: string;
}

/** The answer for one run; each medium lays it out in its own way. */
export interface Card {
  readonly kind: 'card';
  readonly answer: RunAnswer;
  /** Units to show, the first one first. */
  readonly units: readonly GaugeUnit[];
}

/** What only some readers want: folded in a page, under a heading on paper, left out of a terminal unless asked for. */
export interface Fold {
  readonly kind: 'fold';
  /** Unique in the document. */
  readonly id: string;
  readonly title: string;
  readonly body: readonly Block[];
}

/** A heading; `id` is its place in the document. */
export const heading = (level: Heading['level'], text: string, id?: string): Heading => ({
  kind: 'heading',
  level,
  text,
  ...(id === undefined ? {} : { id }),
});

/** A sentence or a few; nothing where there is none. */
export const says = (text: string | null | undefined, tone?: Says['tone']): readonly Says[] =>
  text === null || text === undefined || text === ''
    ? []
    : [{ kind: 'says', text, ...(tone === undefined ? {} : { tone }) }];

/** A list; nothing where it has no item. */
export const list = (items: readonly string[]): readonly List[] =>
  items.length === 0 ? [] : [{ kind: 'list', items }];

/** A table; nothing where it has no row. */
export const rows = (table: AnyTable): readonly TableBlock[] =>
  table.rows.length === 0 ? [] : [{ kind: 'table', table }];

/** A fold; nothing where it is empty. */
export const fold = (id: string, title: string, body: readonly Block[]): readonly Fold[] =>
  body.length === 0 ? [] : [{ kind: 'fold', id, title, body }];
