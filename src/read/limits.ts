import type { Issue } from '../series/issue.js';

/**
 * How much one creek folder may hold. Each limit lies far above what a real folder needs (30 years of quarter-hours are 1,050,000 rows, a
 * full log 20,000 sightings) and far below what would fill the memory or keep a machine busy for minutes. Above one a file is refused
 * whole, with the limit in the sentence.
 */
export const LIMITS = Object.freeze({
  /** Bytes of a gauge file: a text beyond half a gigabyte does not fit into one string. */
  gaugeBytes: 400_000_000,
  /** Bytes of visits.csv. */
  visitsBytes: 50_000_000,
  /** Bytes of creek.json. */
  creekBytes: 5_000_000,
  /** Lists and objects inside each other in a JSON file. */
  jsonDepth: 64,
  /** Lines of a text table. */
  lines: 5_000_000,
  /** Letters of one line of a text table. */
  lineLetters: 1_000_000,
  /** Columns of a text table. */
  columns: 1_000,
  /** Letters of a cell that is quoted over several lines, and those lines. */
  quotedLetters: 100_000,
  quotedLines: 100,
  /** Data rows of visits.csv. */
  sightingRows: 50_000,
  /** Readings of all series of a gauge file together. */
  readings: 10_000_000,
  /** Series of a gauge file. */
  series: 1_000,
  /** Header rows of an RDB file (each download that was pasted into it has its own). */
  rdbBlocks: 2_000,
  /** Elements inside each other, and elements and letters besides the readings, of an XML file. */
  xmlDepth: 64,
  xmlElements: 100_000,
  xmlLetters: 20_000_000,
  /** Attributes of one element of an XML file. */
  xmlAttributes: 200,
});

/** The issue of a file above a limit. */
export function limitIssue(
  file: string,
  { row, found, most, hint }: { row?: number; found: string; most: string; hint: string },
): Issue {
  return {
    code: 'limit-exceeded',
    severity: 'fatal',
    file,
    ...(row !== undefined && { row }),
    found,
    expected: `at most ${most}`,
    hint,
  };
}

/** `5,000,000`: the same in every locale. */
export function inThousands(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ',');
}
