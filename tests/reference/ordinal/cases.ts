import { readFileSync } from 'node:fs';

/** What a reference engine printed for one fit. */
export interface ReferenceFit {
  readonly coef: Readonly<Record<string, number>>;
  readonly se?: Readonly<Record<string, number>>;
  readonly logLik: number;
  readonly vcov?: { readonly values: number[][] };
  readonly ci95_profile?: Readonly<Record<string, [number, number]>>;
}

export function loadCheck<Data, Expected>(id: string): { data: Data; expected: Expected } {
  return JSON.parse(readFileSync(new URL(`${id}.json`, import.meta.url), 'utf8')) as { data: Data; expected: Expected };
}

/** Randall's (1989) 72 bitterness ratings. */
export interface WineTable {
  readonly rating: number[];
  readonly temp: string[];
  readonly contact: string[];
  readonly bottle: number[];
  readonly judge: number[];
}

export interface Mental {
  readonly mental: number[];
  readonly ses: number[];
  readonly life: number[];
}
