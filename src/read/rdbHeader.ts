/** A value column of an RDB block with its code column (-1: none) and what its name and the comments say of it. */
export interface RdbValueColumn {
  readonly name: string;
  readonly value: number;
  readonly code: number;
  readonly identity: { readonly parameterCode?: string; readonly statisticCode?: string; readonly unitText?: string };
}

/** Positions of the columns of an RDB block; -1 where there is none. */
export interface RdbColumns {
  readonly width: number;
  readonly site: number;
  readonly datetime: number;
  readonly zone: number;
  readonly values: readonly RdbValueColumn[];
}

/** The row under the header: width and kind of each column, such as `5s	15s	20d	6s	14n	10s`. */
export function isTypeRow(line: string): boolean {
  return /^\d+[sdn](\t\d+[sdn])*\s*$/i.test(line);
}

/** RDB tables that are no time series, by a column that only they have. */
const OTHER_TABLES: readonly (readonly [column: string, what: string])[] = [
  ['peak_dt', 'a table of annual peaks'],
  ['peak_va', 'a table of annual peaks'],
  ['INDEP', 'a rating table (stage against discharge)'],
  ['measurement_nu', 'a list of discharge measurements'],
  ['sample_dt', 'a list of water samples'],
  ['lev_dt', 'a list of groundwater levels'],
  ['mean_va', 'a table of statistics'],
  ['station_nm', 'a list of sites'],
  ['begin_date', 'a list of the series that a site has'],
  ['dec_lat_va', 'a list of sites'],
  ['parm_cd', 'a list of parameters or of water samples'],
  ['parameter_cd', 'a list of parameters'],
];

/** Why a block is no time series, as a sentence part and what to do; undefined where it is one. */
export function notATimeSeries(
  header: readonly string[],
  types: string,
  comments: readonly string[],
): { readonly code: 'not-a-time-series' | 'wrong-format'; readonly found: string; readonly hint: string } | undefined {
  const hint = 'Download instantaneous (unit) or daily values of the site in the same tab-delimited format.';
  const other = OTHER_TABLES.find(([column]) => header.includes(column));
  if (other !== undefined) return { code: 'not-a-time-series', found: other[1], hint };
  if (!isTypeRow(types) || header.length < 3)
    return {
      code: 'wrong-format',
      found: header[0]!.trimStart().startsWith('<')
        ? 'a web page or XML'
        : `a row '${header.join(' ').slice(0, 60)}' with no type row (such as 5s 15s 20d) under it`,
      hint: comments.length === 0 ? 'Set format to what the file is, for example delimited.' : hint,
    };
  if (!header.includes('datetime'))
    return {
      code: 'not-a-time-series',
      found: `a table without a datetime column (${header.slice(0, 6).join(', ')} …)`,
      hint,
    };
  if (rdbColumns(header, types, comments).values.length === 0)
    return { code: 'not-a-time-series', found: 'a table without a value column', hint };
  return undefined;
}

/**
 * Where the columns of a block are. Value columns are those with a code column beside them, or numeric ones named after a parameter code.
 */
export function rdbColumns(header: readonly string[], types: string, comments: readonly string[]): RdbColumns {
  const names = header.map((name) => name.trim());
  const kinds = types.split('\t');
  const descriptions = describedColumns(comments);
  const values = names.flatMap((name, value): RdbValueColumn[] => {
    const code = names.indexOf(`${name}_cd`);
    const named = /^([A-Za-z0-9]+_)?\d{5}(_\d{5})?$/.test(name);
    // agency_cd and tz_cd are codes of nothing: there is no column agency or tz.
    if (!(code >= 0 || (named && /n/i.test(kinds[value] ?? '')))) return [];
    return [{ name, value, code, identity: identify(name, descriptions) }];
  });
  return {
    width: names.length,
    site: names.indexOf('site_no'),
    datetime: names.indexOf('datetime'),
    zone: names.indexOf('tz_cd'),
    values,
  };
}

/** Column name -> description, from comment lines such as `#    01   00060     00003     Discharge, cubic feet per second (Mean)`. */
function describedColumns(comments: readonly string[]): Map<string, string> {
  const described = new Map<string, string>();
  for (const comment of comments) {
    const parts = /^#\s+(\d+)\s+(\d{5})\s+(?:(\d{5})\s+)?(?:\d+\s+)?([A-Za-z].*)$/.exec(comment);
    if (parts === null) continue;
    const [, series, parameter, statistic, description] = parts;
    described.set([series, parameter, statistic].filter((part) => part !== undefined).join('_'), description!.trim());
  }
  return described;
}

/** `18624_00060_00003` is series 18624, parameter 00060, statistic 00003; the unit is what follows the last comma of the description. */
function identify(name: string, descriptions: ReadonlyMap<string, string>): RdbValueColumn['identity'] {
  const parts = name.split('_');
  const codes = parts.length > 1 ? parts.slice(1) : parts;
  const isCode = (part: string | undefined) => part !== undefined && /^\d{5}$/.test(part);
  const description = descriptions.get(name)?.replace(/\s*\([^)]*\)\s*$/, '');
  const unit =
    description?.includes(',') === true ? description.slice(description.lastIndexOf(',') + 1).trim() : undefined;
  return {
    ...(isCode(codes[0]) && { parameterCode: codes[0]! }),
    ...(isCode(codes[1]) && { statisticCode: codes[1]! }),
    ...(unit !== undefined && { unitText: unit }),
  };
}
