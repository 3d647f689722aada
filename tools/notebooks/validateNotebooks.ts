import { execFileSync } from 'node:child_process';
import { accessSync, constants, readFileSync } from 'node:fs';
import { delimiter, isAbsolute, join } from 'node:path';
import { jupyterCommand } from './jupyterHome.js';

/** Prints, for each file, what the schema of its own nbformat version has against it, as JSON. */
const SCRIPT = `
import json, sys
from nbformat.validator import get_validator
found = []
for path in sys.argv[1:]:
    with open(path, encoding="utf-8") as file:
        notebook = json.load(file)
    errors = get_validator(notebook["nbformat"], notebook["nbformat_minor"]).iter_errors(notebook)
    found.append([path, sorted("/".join(map(str, e.absolute_path)) + ": " + e.message.split("\\n")[0][:200] for e in errors)])
print(json.dumps(found))
`;

/** The Python that jupyter runs in, from the first line of its script; undefined where that can't be said. */
function jupyterPython(): string | undefined {
  const command = jupyterCommand();
  const places = isAbsolute(command)
    ? [command]
    : (process.env.PATH ?? '').split(delimiter).map((folder) => join(folder, command));
  const path = places.find(canRun);
  const first = path === undefined ? '' : readFileSync(path, 'utf8').split('\n', 1)[0]!;
  return /^#!(?:\/usr\/bin\/env\s+)?(\S*python\S*)$/.exec(first)?.[1];
}

function canRun(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** Why the schema can't be asked here, for people to read; undefined where it can. */
export function whyNoSchema(): string | undefined {
  const python = jupyterPython();
  if (python === undefined) return `no Python behind '${jupyterCommand()}' (apt install jupyter-nbconvert)`;
  try {
    execFileSync(python, ['-c', 'import nbformat'], { stdio: 'ignore' });
    return undefined;
  } catch {
    return `${python} has no nbformat (apt install python3-nbformat)`;
  }
}

/**
 * What the schema of nbformat, as installed with Jupyter, has against notebooks as they are stored.
 * @returns complaints by path; an empty list for a notebook that is as it must be.
 */
export function schemaComplaints(paths: readonly string[]): ReadonlyMap<string, readonly string[]> {
  const out = execFileSync(jupyterPython()!, ['-c', SCRIPT, ...paths], { encoding: 'utf8' });
  return new Map(JSON.parse(out) as [string, string[]][]);
}
