import { InvalidArgumentError } from 'commander';
import { describe, expect, it } from 'vitest';
import { parseBounds, parseLead, parseSeed } from '../../../src/show/cli/parseOptions.js';
import { runCaught } from './fakeIo.js';

describe('help', () => {
  it.each([
    [['--help'], '$ sightstage new my-creek'],
    [['new', '--help'], '$ sightstage new larch-creek'],
    [['adopt', '--help'], '$ sightstage adopt club-log.csv river.csv larch-creek'],
    [['changes', '--help'], '$ sightstage changes spring/chart.json'],
    [['log', '--help'], '$ sightstage log larch-creek'],
    [['check', '--help'], '$ sightstage check larch-creek'],
    [['chart', '--help'], '$ sightstage chart larch-creek --lead 2 --units us'],
  ])('%j shows an example and ends with 0', async (args, example) => {
    const { exitCode, out, err } = await runCaught(args);
    expect({ exitCode, err }).toEqual({ exitCode: 0, err: '' });
    expect(out).toContain(example);
  });

  it('documents the exit codes', async () => {
    const { out } = await runCaught(['--help']);
    for (const code of [0, 1, 2, 3, 4]) expect(out).toContain(`\n  ${code}  `);
  });

  it('prints the version of the package', async () => {
    expect((await runCaught(['--version'])).out).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});

describe('wrong use', () => {
  it.each([
    [['chrt'], "sightstage: unknown command 'chrt'"],
    [['chart'], "sightstage: missing required argument 'folder'"],
    [['chart', 'x', '--colour'], "sightstage: unknown option '--colour'"],
    [['chart', 'x', '--units', 'furlongs'], 'Allowed choices are metric, us, both'],
    [['chart', 'x', '--lag', '12'], "found '12', expected min..max in hours, for example -12..24"],
    [['chart', 'x', '--lead', '-1'], "found '-1', expected hours from 0 to 48"],
    [['chart', 'x', '--seed', '1.5'], "found '1.5', expected a whole number from 0 to 4294967295"],
  ])('%j ends with 2 and says why', async (args, message) => {
    const { exitCode, out, err } = await runCaught(args);
    expect({ exitCode, out }).toEqual({ exitCode: 2, out: '' });
    expect(err).toContain(message);
    expect(err).not.toContain('    at ');
  });

  it('shows a stack trace only when asked', async () => {
    expect((await runCaught(['check', '/nowhere/at/all', '--debug'])).err).toContain('\n    at ');
  });
});

describe('option values', () => {
  it('reads bounds, also negative ones and equal ones', () => {
    expect(parseBounds('-12..24')).toEqual({ min: -12, max: 24 });
    expect(parseBounds('-6.5..-0.5')).toEqual({ min: -6.5, max: -0.5 });
    expect(parseBounds('0..0')).toEqual({ min: 0, max: 0 });
  });

  it.each(['24..-12', '', '..', '1..x', '1...2', 'Infinity..2', '-300..1', '0..1e9'])(
    'refuses the bounds %j',
    (text) => {
      expect(() => parseBounds(text)).toThrow(InvalidArgumentError);
    },
  );

  it.each(['', '-1', '49', 'NaN', '1h'])('refuses the lead %j', (text) => {
    expect(() => parseLead(text)).toThrow('expected hours from 0 to 48');
  });

  it.each(['', '-1', '1.5', '4294967296', '1e3'])('refuses the seed %j', (text) => {
    expect(() => parseSeed(text)).toThrow('expected a whole number');
  });

  it('takes the ends of what it allows', () => {
    expect([parseLead('0'), parseLead('48'), parseSeed('0'), parseSeed('4294967295')]).toEqual([0, 48, 0, 4294967295]);
  });
});
