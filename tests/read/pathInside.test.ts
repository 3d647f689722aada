import { describe, expect, it } from 'vitest';
import { pathProblem } from '../../src/read/pathInside.js';

describe('pathProblem', () => {
  it.each(['a.csv', 'gauges/a.csv', 'gauges/2024/a b.csv', 'gauges/..a', 'gauges/a..b.csv', 'Übersicht.csv'])(
    'allows %j',
    (path) => {
      expect(pathProblem(path)).toBeUndefined();
    },
  );
  it.each([
    ['/etc/passwd', 'which is absolute'],
    ['C:/a.csv', 'which is absolute'],
    ['c:a.csv', 'which is absolute'],
    ['../a.csv', "which climbs out with '..'"],
    ['gauges/../../a.csv', "which climbs out with '..'"],
    ['gauges/..', "which climbs out with '..'"],
    ['..\\a.csv', 'which holds a backslash'],
    ['gauges\\a.csv', 'which holds a backslash'],
    ['\\\\server\\a.csv', 'which holds a backslash'],
    ['~/a.csv', 'which starts in a home folder'],
    ['./a.csv', "which has an empty or '.' part"],
    ['gauges//a.csv', "which has an empty or '.' part"],
    ['gauges/', "which has an empty or '.' part"],
    ['a\0.csv', 'which holds a control character'],
    ['gauges/.. /a.csv', 'which has a part that ends with a blank or a point'],
    ['gauges/a.', 'which has a part that ends with a blank or a point'],
  ])('refuses %j', (path, why) => {
    expect(pathProblem(path)).toBe(why);
  });
});
