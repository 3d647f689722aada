import type { Gauge } from '../series/creek.js';

/**
 * Codes of real-time river data under which no reading of the water is to be had, and what they mean. Refused in `rdb` and WaterML files.
 * Source of the first group: USGS NWISWeb help, real-time codes (http://waterdata.usgs.gov/nwis/help?codes_help); Mnt and Bkw as described in the
 * qualifier lists that the files themselves carry.
 */
const NO_READING: Readonly<Record<string, string>> = {
  Ice: 'The gauge is affected by ice.',
  Eqp: 'The equipment of the gauge malfunctioned.',
  Fld: 'The gauge was damaged by a flood.',
  Ssn: 'The gauge is run in season only.',
  Pr: 'The gauge has a partial record only.',
  Rat: 'The rating is being developed or revised.',
  Nd: 'The value was not determined.',
  Dis: 'Data collection was discontinued.',
  Dry: 'The gauge reports zero flow without a number.',
  '***': 'The value is temporarily unavailable.',
  '--': 'The parameter was not determined.',
  Bkw: 'The gauge is affected by backwater.',
  Mnt: 'The gauge was under maintenance.',
  '<': 'The value is a bound, not a reading.',
  '>': 'The value is a bound, not a reading.',
};

/** The single codes of a joined one: `P Ice`, `A:e`, `G;WR`, `P,e`. */
export function codeParts(code: string): string[] {
  return code.split(/[\s:;,]+/).filter((part) => part !== '');
}

/**
 * Why a reading with this code is not used, by the gauge's `refuse` and the codes its format knows; undefined where it is. A refused code counts alone
 * (`e`) or as part of a joined one (`A:e`). Asked once per distinct code and remembered.
 */
export function refusedCodes(gauge: Gauge): (code: string) => string | undefined {
  const stated = new Set(gauge.refuse ?? []);
  const builtIn = gauge.format !== 'delimited';
  const known = new Map<string, string | undefined>();
  return (code) => {
    if (known.has(code)) return known.get(code);
    const parts = [code, ...codeParts(code)];
    const part = parts.find((candidate) => stated.has(candidate));
    const flag = builtIn ? parts.find((candidate) => Object.hasOwn(NO_READING, candidate)) : undefined;
    const reason =
      part !== undefined
        ? `Code '${part}' is refused in creek.json.`
        : flag !== undefined
          ? NO_READING[flag]
          : undefined;
    known.set(code, reason);
    return reason;
  };
}
