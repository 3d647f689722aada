import { wholePercents } from '../chart/figures/wholePercents.js';
import { figures, inUnit, plain, range, withI80, type Ends } from '../series/format.js';
import { convertUnit, unitLabel } from '../series/units.js';
import type { AnswerEdge, AnswerReading } from './runAnswer.js';

/** One line of a staff: a class, the edge between two classes, or the limit of what any visit has met. */
export interface LevelRow {
  readonly kind: 'class' | 'edge' | 'not-seen';
  /** Class word, `edge` or `not seen`. */
  readonly label: string;
  /** Classes that the piece of staff beside it shows, upper one first; none for what nobody has seen. */
  readonly blocks: readonly number[];
  /** The class's own ends; empty elsewhere. */
  readonly value: string;
  readonly text: string;
}

/** Said with the rows. */
export const LEVELS_CAPTION =
  'Highest water on top. Edge: half of the days lie below it, half at or above; in brackets its 80 % interval, then the odds right there.';
export const ASSUMED = '*: assumed, no visit stands on one side of this edge.';

/** The levels of a run as a staff, highest water on top. */
export function levelRows(reading: AnswerReading): readonly LevelRow[] {
  const { classes, edges, seen } = reading;
  const holds = (k: number, value: number) =>
    (edges[k - 1]?.value ?? -Infinity) <= value && value < (edges[k]?.value ?? Infinity);
  return [...classes.keys()].reverse().flatMap((k) => [
    // The limits stand where they fall among the edges: a chart must not look seen up to its top class when it is not.
    ...(holds(k, seen[1]) ? [unseenRow(`above ${inBoth(reading, seen[1])}`)] : []),
    classRow(reading, k),
    ...(holds(k, seen[0]) ? [unseenRow(`below ${inBoth(reading, seen[0])}`)] : []),
    ...(k > 0 ? [edgeRow(reading, edges[k - 1]!, k)] : []),
  ]);
}

function unseenRow(text: string): LevelRow {
  return { kind: 'not-seen', label: 'not seen', blocks: [], value: '', text };
}

function classRow(reading: AnswerReading, k: number): LevelRow {
  const { word, from, to } = reading.classes[k]!;
  const [value, text] = endsIn(reading, [from, to]);
  return { kind: 'class', label: word, blocks: [k], value, text };
}

function edgeRow({ classes }: AnswerReading, { value, i80, odds, seenBothSides }: AnswerEdge, k: number): LevelRow {
  const there = wholePercents(odds).flatMap((percent, at) =>
    percent > 0 ? [`${classes[at]!.word} ${percent} %`] : [],
  );
  return {
    kind: 'edge',
    label: `edge${seenBothSides ? '' : ' *'}`,
    blocks: [k, k - 1],
    value: '',
    text: `${withI80({ median: value, i80 })}: ${there.join(', ')}`,
  };
}

/** A value in both units, the other one converted from what is printed. */
export function inBoth({ unit, otherUnit }: AnswerReading, value: number): string {
  return `${inUnit(value, unit, 6)} (${figures(convertUnit(value, unit, otherUnit))} ${unitLabel(otherUnit)})`;
}

/** A range in the gauge's unit, and in the other one. */
export function endsIn({ unit, otherUnit, edges }: AnswerReading, ends: Ends): readonly [string, string] {
  const own = range(ends, (value) => plain(value, 6));
  // An edge is rounded once: its other unit stands beside it.
  const other = range(ends, (value) => {
    const edge = edges.find((one) => one.value === value);
    return edge === undefined ? figures(convertUnit(value, unit, otherUnit)) : plain(edge.valueOther, edge.digitsOther);
  });
  return [`${own} ${unitLabel(unit)}`, `${other} ${unitLabel(otherUnit)}`];
}
