import type { Gauge } from '../series/creek.js';
import { oneBlank } from './recordCutter.js';

/**
 * Codes of real-time river data under which no reading of the water is to be had, and what they mean. Refused in `rdb` and WaterML files.
 * Source of the first group: USGS NWISWeb help, real-time codes (http://waterdata.usgs.gov/nwis/help?codes_help). Bkw and Mnt: as described
 * in the qualifier lists that such files carry, from memory. `<` and `>`: remark codes of the same help.
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

/** Quality of the WaterML 2.0 code list (OGC 10-126r4) under which there is no reading. */
const NO_READING_WATERML2: Readonly<Record<string, string>> = { missing: 'The value is marked as missing.' };

/**
 * Such a reading is used: `e`, the value has been estimated (same help); `E`, its older spelling, and the word of the OGC list, both from
 * memory.
 */
const ESTIMATED: readonly string[] = ['e', 'E', 'estimate'];

/** What a row's quality code says of its reading. */
export interface CodeMeaning {
  /** Why such a reading is not used; undefined where it is. */
  readonly refusal: string | undefined;
  readonly approval: 'approved' | 'provisional' | 'unknown';
  /** The agency filled the reading in; it was not measured. */
  readonly estimated: boolean;
}

/** The single codes of a joined one: `P Ice`, `A:e`, `G;WR`, `P,e`. */
export function codeParts(code: string): readonly string[] {
  return code.split(/[\s:;,]+/).filter((part) => part !== '');
}

/**
 * Meaning of a quality code, by the gauge's `refuse` and the codes its format knows. A refused code counts alone (`e`) or as part of a
 * joined one (`A:e`). Worked out once for each distinct code: a record has a handful of them and a million rows.
 */
export function codeMeanings(gauge: Gauge): (code: string, tellsApproval: boolean) => CodeMeaning {
  // Cells come without the blanks around them, and a code that is written with some must not be let through for that.
  const refused = new Set((gauge.refuse ?? []).map(oneBlank));
  const builtIn: Readonly<Record<string, string>> =
    gauge.format === 'delimited'
      ? {}
      : gauge.format === 'waterml2'
        ? { ...NO_READING, ...NO_READING_WATERML2 }
        : NO_READING;
  const approvalOf = approvalByCode(gauge);
  const known = new Map<string, { readonly told: CodeMeaning; readonly untold: CodeMeaning }>();
  return (code, tellsApproval) => {
    let meaning = known.get(code);
    if (meaning === undefined) {
      const parts = [code, ...codeParts(code)];
      const part = parts.find((candidate) => refused.has(candidate));
      const flag = parts.find((candidate) => Object.hasOwn(builtIn, candidate));
      const refusal =
        part !== undefined
          ? `Code '${part}' is refused in creek.json.`
          : flag === undefined
            ? undefined
            : builtIn[flag];
      const estimated = gauge.format !== 'delimited' && parts.some((candidate) => ESTIMATED.includes(candidate));
      const stated = approvalOf?.(parts);
      const approval = parts.includes('A') ? 'approved' : parts.includes('P') ? 'provisional' : 'unknown';
      meaning = {
        told: { refusal, approval: stated ?? approval, estimated },
        untold: { refusal, approval: stated ?? 'unknown', estimated },
      };
      known.set(code, meaning);
    }
    return tellsApproval ? meaning.told : meaning.untold;
  };
}

/** Approval by the codes that creek.json names; undefined where it names none. A code that is under neither is unknown. */
function approvalByCode({ approval }: Gauge): ((parts: readonly string[]) => CodeMeaning['approval']) | undefined {
  if (approval === undefined) return undefined;
  const { approved = [], provisional = [] } = approval;
  return (parts) =>
    parts.some((part) => provisional.includes(part))
      ? 'provisional'
      : parts.some((part) => approved.includes(part))
        ? 'approved'
        : 'unknown';
}
