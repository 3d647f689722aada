import type { Issue } from '../series/issue.js';
import { limitIssue } from './limits.js';
import { elementNames, type XmlNode, type XmlProblem } from './xmlPieces.js';

/** Documents of the same agencies and services that hold no time series, by an element (or root) that only they have. */
const BY_ELEMENT: readonly (readonly [element: string, what: string])[] = [
  ['sitesResponse', 'a list of sites'],
  ['variablesResponse', 'a list of variables'],
  ['CategoricalTimeseries', 'a categorical time series (words in place of readings)'],
  ['RatingTable', 'a rating table'],
  ['ConversionTable', 'a rating table'],
  ['ConversionGroup', 'rating tables'],
  ['GaugingObservation', 'a list of discharge measurements'],
  ['GaugingMember', 'a list of discharge measurements'],
  ['Capabilities', 'a description of the service'],
  ['FeatureCollection', 'a list of places'],
];

/** What comes in place of a document when something went wrong. */
const IN_ITS_PLACE: readonly (readonly [element: string, what: string])[] = [
  ['html', 'a web page'],
  ['HTML', 'a web page'],
  ['ExceptionReport', 'an error report of the service'],
  ['ServiceExceptionReport', 'an error report of the service'],
];

/** What a document without a time series is, by the names of its elements; `lacks` ends the sentence of one that we do not know. */
export function otherDocument(root: XmlNode, lacks: string): XmlProblem & { readonly other: boolean } {
  const names = elementNames(root);
  const find = (list: typeof BY_ELEMENT) => list.find(([element]) => names.has(element))?.[1];
  const table = find(BY_ELEMENT);
  if (table !== undefined) return { problem: table, other: true };
  const first = Object.keys(root).find((name) => name !== '?xml');
  const problem =
    find(IN_ITS_PLACE) ?? (first === undefined ? 'no XML' : `XML with the root ${first.slice(0, 60)}${lacks}`);
  return { problem, other: false };
}

/** The one fatal issue of a file that is not what its format says, is no time series, or is above a limit. */
export function refusedDocument(
  file: string,
  { problem, most, other = false }: XmlProblem & { readonly other?: boolean },
  expected: string,
): Issue {
  if (most !== undefined)
    return limitIssue(file, {
      found: problem,
      most,
      hint: 'Ask for fewer series or years at a time, and list several files under files.',
    });
  return {
    code: other ? 'not-a-time-series' : 'wrong-format',
    severity: 'fatal',
    file,
    found: problem,
    expected,
    hint: other
      ? 'Download instantaneous or daily values of the site in the same format.'
      : 'Download the file again, or set format to what it is.',
  };
}
