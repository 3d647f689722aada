import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import ts from 'typescript';

/** Modules of the project that a file imports for more than types. */
function importsOf(file: string): readonly string[] {
  return [...readFileSync(file, 'utf8').matchAll(/^(?:import|export)\s+(?!type\b)[^;]*?from\s+'(\.[^']+)'/gm)]
    .map(([, name]) => join(dirname(file), name).replace(/\.js$/, '.ts'))
    .filter((found) => existsSync(found) && found.endsWith(ts.Extension.Ts));
}

/** Imports that lie between each of these test files and every file it reaches. */
export function importDistances(tests: readonly string[]): ReadonlyMap<string, ReadonlyMap<string, number>> {
  const known = new Map<string, readonly string[]>();
  const next = (file: string): readonly string[] => {
    if (!known.has(file)) known.set(file, importsOf(file));
    return known.get(file)!;
  };
  return new Map(
    tests.map((test) => {
      const distance = new Map([[test, 0]]);
      for (const file of distance.keys())
        for (const other of next(file)) if (!distance.has(other)) distance.set(other, distance.get(file)! + 1);
      return [test, distance];
    }),
  );
}
