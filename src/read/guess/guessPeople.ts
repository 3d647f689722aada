import { bareWords } from '../logIssues.js';
import { counts } from './sheet.js';

/**
 * Spellings of one person under the most frequent of them. Names that are equal without case, accents and dots are one; a first name alone
 * is the one person with that first name, and nobody where there are two.
 */
export function guessPeople(names: readonly string[]): {
  readonly people: Readonly<Record<string, readonly string[]>>;
  readonly doubtful: readonly string[];
} {
  const spellings = counts(names);
  const groups = new Map<string, string[]>();
  for (const [name] of spellings) {
    const bare = bareWords(name);
    groups.set(bare, [...(groups.get(bare) ?? []), name]);
  }
  const doubtful: string[] = [];
  for (const bare of [...groups.keys()]) {
    const longer = [...groups.keys()].filter((other) => other.startsWith(`${bare} `));
    if (longer.length === 1) {
      groups.set(longer[0]!, [...groups.get(longer[0]!)!, ...groups.get(bare)!]);
      groups.delete(bare);
    } else if (longer.length > 1) doubtful.push(...groups.get(bare)!);
  }
  const often = new Map(spellings);
  const people = [...groups.values()]
    .filter((group) => group.length > 1)
    .map((group) => [...group].sort((a, b) => often.get(b)! - often.get(a)!))
    .map(([name, ...others]) => [name!, others] as const);
  return { people: Object.fromEntries(people), doubtful };
}
