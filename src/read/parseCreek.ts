import type { z } from 'zod';
import type { Creek } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { jsonPath } from './checkCreek.js';
import { creekSchema } from './creekSchema.js';
import { decodeText } from './decodeText.js';
import { deeperThan } from './jsonDepth.js';
import { jsonFaults, type JsonFaults } from './jsonText.js';
import { LIMITS, limitIssue } from './limits.js';
import { didYouMean } from './nearestWord.js';
import type { NamedFile } from './types.js';
import { unitFromText } from './unitText.js';

/**
 * The creek that a creek.json describes, or every problem in it at once: `column` is the place in the JSON, such as
 * `runs[0].features[2].id`. Keys that begin with `//` are comments at any depth. What people wrote is trimmed; nothing else is changed.
 */
export function parseCreek(file: NamedFile): { readonly creek: Creek | undefined; readonly issues: readonly Issue[] } {
  const decoded = decodeText(file, { mostBytes: LIMITS.creekBytes });
  if ('issue' in decoded) return { creek: undefined, issues: [decoded.issue] };
  if (deeperThan(decoded.text, LIMITS.jsonDepth)) {
    const found = `more than ${LIMITS.jsonDepth} lists and objects inside each other`;
    const hint = 'See docs/file-formats.md for what creek.json holds.';
    return { creek: undefined, issues: [limitIssue(file.name, { found, most: 'that many', hint })] };
  }
  let raw: unknown;
  try {
    raw = JSON.parse(decoded.text);
  } catch (error) {
    return { creek: undefined, issues: [jsonIssue(file.name, decoded.text, error as Error)] };
  }
  const twice = jsonFaults(decoded.text).twice.filter(({ key }) => !key.startsWith('//'));
  if (twice.length > 0) return { creek: undefined, issues: twice.map((one) => twiceIssue(file.name, one)) };
  const withoutComments = dropComments(raw);
  const parsed = creekSchema.safeParse(withoutComments, { reportInput: true });
  if (parsed.success) return { creek: deepFreeze(parsed.data), issues: [] };
  return { creek: undefined, issues: parsed.error.issues.flatMap((issue) => problemIssues(issue, file.name)) };
}

/** The value without the keys that begin with `//`, at any depth. */
function dropComments(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(dropComments);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key]) => !key.startsWith('//'))
      .map(([key, inner]) => [key, dropComments(inner)]),
  );
}

function jsonIssue(file: string, text: string, error: Error): Issue {
  const row = jsonFaults(text).line ?? 1;
  return {
    code: 'creek-invalid',
    severity: 'fatal',
    file,
    row,
    found:
      text.trim() === ''
        ? 'an empty file'
        : error.message.replace(/ in JSON at position.*$/, '').replace(/,? ?"[\s\S]*$/, ''),
    expected: 'JSON',
    hint: 'Often a comma too many or too few on this line or the one before; JSON has no comments, but a key may begin with //.',
  };
}

/** Only the last of two equal keys would count, without a word. */
function twiceIssue(file: string, { key, lines }: JsonFaults['twice'][number]): Issue {
  return {
    code: 'creek-invalid',
    severity: 'fatal',
    file,
    row: lines[1],
    column: key,
    found: `the key '${key}' of line ${lines[0]} once more`,
    expected: 'each key once in an object',
    hint: 'Delete one of the two: only one can count.',
  };
}

/** One issue for each thing wrong; a union's branches are searched for the one that was meant. */
function problemIssues(issue: z.core.$ZodIssue, file: string, before: readonly PropertyKey[] = []): Issue[] {
  const path = [...before, ...issue.path];
  const make = (more: Partial<Issue>): Issue => ({
    code: 'creek-invalid',
    severity: 'fatal',
    file,
    column: jsonPath(path) || '(top)',
    ...more,
  });
  switch (issue.code) {
    case 'unrecognized_keys': {
      const hints = issue.message.split('\n');
      return issue.keys.map((key, i) =>
        make({
          column: jsonPath([...path, key]),
          found: `an unknown key '${key}'`,
          expected: 'only keys that are known',
          hint:
            hints[i] !== undefined && hints[i] !== '' ? hints[i] : 'Remove it; a key that begins with // is a comment.',
        }),
      );
    }
    case 'invalid_union': {
      // The branch with the fewest complaints is the one that was meant.
      const branches = [...issue.errors].sort((a, b) => a.length - b.length);
      return (branches[0] ?? []).flatMap((inner) => problemIssues(inner, file, path));
    }
    case 'invalid_type':
      return [
        make({
          found: describe(issue.input),
          expected: issue.expected === 'int' ? 'a whole number' : withArticle(issue.expected),
        }),
      ];
    case 'invalid_value':
      return [
        make({
          found: describe(issue.input),
          expected: `${issue.values.length > 1 ? 'one of ' : ''}${issue.values.map(describe).join(', ')}`,
          ...meantValue(issue.input, issue.values),
        }),
      ];
    case 'custom': {
      const { found, hint, pathOutside } = (issue.params ?? {}) as {
        found?: string;
        hint?: string;
        pathOutside?: boolean;
      };
      return [
        make({
          ...(pathOutside && { code: 'path-outside' as const }),
          found,
          expected: issue.message,
          ...(hint !== undefined && { hint }),
        }),
      ];
    }
    default:
      return [make({ found: describe(issue.input), expected: lowerFirst(issue.message) })];
  }
}

/** The one of the allowed words that was meant, a unit also by its other names. */
function meantValue(input: unknown, values: readonly unknown[]): Pick<Issue, 'hint'> {
  if (typeof input !== 'string') return {};
  const unit = unitFromText(input);
  const words = values.filter((value) => typeof value === 'string');
  const hint = unit !== undefined && words.includes(unit) ? `Did you mean '${unit}'?` : didYouMean(input, words);
  return hint === undefined ? {} : { hint };
}

function describe(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'string') return `'${value.slice(0, 60)}'`;
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

function withArticle(type: string): string {
  const words: Record<string, string> = {
    array: 'a list [ ]',
    object: 'an object { }',
    record: 'an object { }',
    string: 'a text in quotes',
    number: 'a number',
  };
  return words[type] ?? type;
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null) {
    Object.values(value).forEach(deepFreeze);
    Object.freeze(value);
  }
  return value;
}
