/** What the command line ends with, so that a script can tell the cases apart. */
export const EXIT = Object.freeze({
  /** Done; for `chart` and `trust`: at least one gauge is a rough guide or better for at least one run. */
  fine: 0,
  /** The folder holds a fatal problem: no chart can be made of it. */
  badInput: 1,
  /** Wrong use: an unknown option, a value out of range, a folder that is not there. */
  wrongUse: 2,
  /** Done (`chart` has written its files), but no gauge gave even a rough guide for any run: nobody can plan with this chart. */
  nothingUsable: 3,
  /** The outputs could not be written, or sightstage itself failed. */
  failed: 4,
});

export const EXIT_HELP = `Exit codes:
  0  fine
  1  the folder has a fatal problem (sightstage check lists them)
  2  wrong use: unknown option, bad value, no such folder
  3  done, but no gauge gave even a rough guide: do not plan with it
  4  the outputs could not be written, or sightstage itself failed`;

/** A mistake in how the command was called; its message is shown as it is. */
export class WrongUse extends RangeError {
  override readonly name = 'WrongUse';
}

export const NOTHING_USABLE =
  'No gauge gave even a rough guide for any run: do not plan with this chart. The reasons stand in it.\n';
