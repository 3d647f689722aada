import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import type { Issue } from '../../src/series/issue.js';
import { DELIMITED } from './corpus/delimited.js';
import { CREEKS, LOGS } from './corpus/logs.js';
import { MAPPED_TABLES } from './corpus/mappedTables.js';
import { RDB } from './corpus/rdb.js';
import type { HostileCase } from './corpus/types.js';
import { WATERML } from './corpus/waterml.js';
import { WATERML1_JSON } from './corpus/waterml1Json.js';
import { creekFault, gaugeFault, GAUGES, readBytes, readLog, utf8, visitsFault } from './invariants.js';

const CORPUS = [...DELIMITED, ...MAPPED_TABLES, ...RDB, ...WATERML, ...WATERML1_JSON, ...LOGS, ...CREEKS];

function outcome({ read, input }: HostileCase): { issues: readonly Issue[]; used?: number; fault?: string } {
  const bytes = typeof input === 'string' ? utf8(input) : input;
  if (read === 'creek') return { issues: parseCreek({ name: 'creek.json', bytes }).issues, fault: creekFault(bytes) };
  if (read === 'visits') {
    const log = readLog(bytes);
    return { issues: log.issues, used: log.sightingsUsed, fault: visitsFault(log, bytes) };
  }
  const built = readBytes(GAUGES[read]!, bytes);
  return { issues: built.issues, used: built.rowsUsed, fault: gaugeFault(built, bytes) };
}

describe('hostile inputs, each with what must come of it', () => {
  it('are at least 300, each named once', () => {
    expect(CORPUS.length).toBeGreaterThanOrEqual(300);
    const names = CORPUS.map(({ name }) => name);
    expect(names.filter((name, i) => names.indexOf(name) < i)).toEqual([]);
  });

  for (const one of CORPUS)
    it(one.name.replace(/[\u0000-\u001f]/g, '?'), () => {
      const { issues, used, fault } = outcome(one);
      expect(fault).toBeUndefined();
      expect([...new Set(issues.map(({ severity, code }) => `${severity} ${code}`))].sort()).toEqual(
        [...one.issues].sort(),
      );
      expect(used).toBe(one.used);
    });
});
