import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';

export type Lines = string | readonly string[];

export interface Output {
  readonly output_type: 'stream' | 'display_data' | 'execute_result' | 'error';
  readonly name?: string;
  readonly text?: Lines;
  readonly data?: Readonly<Record<string, unknown>>;
  readonly metadata?: Readonly<Record<string, unknown>>;
  readonly evalue?: string;
}

export interface Cell {
  readonly cell_type: 'code' | 'markdown';
  readonly id?: string;
  readonly source: Lines;
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly outputs?: readonly Output[];
  readonly execution_count?: number | null;
}

export interface Notebook {
  readonly cells: readonly Cell[];
  readonly metadata: Readonly<Record<string, unknown>> & { readonly sightstage?: { readonly sources?: string } };
  readonly nbformat: number;
  readonly nbformat_minor: number;
}

export const readNotebook = (path: string): Notebook => JSON.parse(readFileSync(path, 'utf8')) as Notebook;

export const joined = (lines: Lines | undefined): string =>
  typeof lines === 'string' ? lines : (lines ?? []).join('');

/** Fingerprint of what the outputs were made from: the sources of all cells, in order. */
export function sourceDigest({ cells }: Notebook): string {
  const sources = cells.map(({ cell_type, source }) => [cell_type, joined(source)]);
  return createHash('sha256').update(JSON.stringify(sources)).digest('hex');
}

/** Everything that went wrong in an executed notebook, a line each: errors, warnings on the error stream, cells not run. */
export function complaints({ cells }: Notebook): readonly string[] {
  const code = cells.filter(({ cell_type }) => cell_type === 'code');
  return code.flatMap((cell, i) => {
    const first = joined(cell.source).split('\n')[0]!;
    const where = `code cell ${i + 1} (${first.slice(0, 60)})`;
    const said = (cell.outputs ?? []).flatMap((output) =>
      output.output_type === 'error'
        ? [`${where}: ${output.evalue ?? 'error'}`]
        : output.output_type === 'stream' && output.name === 'stderr'
          ? [`${where}: ${gist(joined(output.text))}`]
          : [],
    );
    return hasRun(cell) ? said : [...said, `${where}: did not run`];
  });
}

/** tslab sends no execution count; the runner notes when the kernel's reply came. */
function hasRun({ metadata }: Cell): boolean {
  const times = metadata['execution'] as Readonly<Record<string, unknown>> | undefined;
  return times?.['shell.execute_reply'] !== undefined;
}

/** Of a stack trace the line that says what happened; a warning as it is. */
function gist(text: string): string {
  return /^\w*Error\b.*$/m.exec(text)?.[0] ?? text.trim();
}

/**
 * What is committed of an executed notebook: the sources, texts, tables and static pictures, with the fingerprint of the
 * sources. The plot library and the interactive form of the figures stay out (a front end makes them again), and so does
 * everything that differs from run to run.
 */
export function committedForm(notebook: Notebook): Notebook {
  let count = 0;
  const cells = notebook.cells.map((cell): Cell => {
    const { cell_type, id, source } = cell;
    const head = { cell_type, ...(id === undefined ? {} : { id }), metadata: {}, source: toLines(joined(source)) };
    if (cell_type !== 'code') return head;
    return {
      ...head,
      execution_count: ++count,
      outputs: (cell.outputs ?? []).flatMap(keptOutput),
    };
  });
  const { kernelspec } = notebook.metadata;
  return {
    cells,
    metadata: {
      kernelspec,
      language_info: { file_extension: '.ts', mimetype: 'text/typescript', name: 'typescript' },
      sightstage: { sources: sourceDigest(notebook) },
    },
    nbformat: notebook.nbformat,
    nbformat_minor: notebook.nbformat_minor,
  };
}

export const isLibrary = ({ metadata }: Output): boolean => metadata?.['sightstage'] === 'plot-library';

function keptOutput(output: Output): readonly Output[] {
  if (isLibrary(output)) return [];
  if (output.output_type === 'stream') return [{ ...output, text: toLines(joined(output.text)) }];
  const data = output.data ?? {};
  const picture = 'image/svg+xml' in data;
  const kept = Object.entries(data).filter(
    ([type]) => type === 'text/plain' || type === (picture ? 'image/svg+xml' : 'text/html'),
  );
  return [
    {
      output_type: output.output_type,
      data: Object.fromEntries(kept.map(([type, text]) => [type, toLines(joined(text as Lines))])),
      metadata: {},
    },
  ];
}

/** One string a line, each with its line end, as notebooks are stored: so they diff. */
function toLines(text: string): readonly string[] {
  return text.split(/(?<=\n)/).filter((line) => line !== '');
}

/** Indented by one, with a line end, as notebook front ends write. */
export const notebookText = (notebook: Notebook): string => `${JSON.stringify(notebook, null, 1)}\n`;
