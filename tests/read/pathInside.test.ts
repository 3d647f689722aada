import { describe, expect, it } from 'vitest';
import { pathProblem } from '../../src/read/pathInside.js';

describe('pathProblem', () => {
  it.each([
    'a.csv',
    'gauges/a.csv',
    'gauges/2024/a b.csv',
    'gauges/..a',
    'gauges/a..b.csv',
    'Übersicht.csv',
    'console.csv',
    'com.csv',
    'gauges/nullmeridian.csv',
  ])('allows %j', (path) => {
    expect(pathProblem(path)).toBeUndefined();
  });
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
    ['a\0.csv', 'which holds a control or an invisible character'],
    ['a\n.csv', 'which holds a control or an invisible character'],
    ['a\u009b.csv', 'which holds a control or an invisible character'],
    ['a\u202evsc.csv', 'which holds a control or an invisible character'],
    ['a\u200b.csv', 'which holds a control or an invisible character'],
    ['//server/share/a.csv', 'which is absolute'],
    ['\\\\?\\C:\\a.csv', 'which holds a backslash'],
    ['gauges/a.csv:stream', 'which holds one of : * ? " < > |'],
    ['file:///etc/passwd', 'which holds one of : * ? " < > |'],
    ['gauges/*.csv', 'which holds one of : * ? " < > |'],
    ['gauges/nul', 'which names a device of Windows'],
    ['COM1.csv', 'which names a device of Windows'],
    ['lpt9 .txt', 'which names a device of Windows'],
    ['gauges/.. /a.csv', 'which has a part that ends with a blank or a point'],
    ['gauges/a.', 'which has a part that ends with a blank or a point'],
  ])('refuses %j', (path, why) => {
    expect(pathProblem(path)).toBe(why);
  });
});
