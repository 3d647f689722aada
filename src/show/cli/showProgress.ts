import { SingleBar } from 'cli-progress';
import type { StagedProgress } from '../../chart/chartCreek.js';
import type { Progress } from '../../chart/jobs.js';
import { plainText } from '../text/plainText.js';
import type { CliIo } from './cliIo.js';

export interface ProgressShow {
  update(progress: Progress): void;
  stop(): void;
}

/** A bar on a terminal; elsewhere a line for every tenth of the work, so that a log stays short. On the error stream. */
export function showProgress(io: CliIo): ProgressShow {
  return io.errIsTerminal ? movingBar(io.columns) : plainLines(io);
}

/** One show a stage, one after the other: what the second says begins at nothing again. */
export function showStages(io: CliIo): { update(progress: StagedProgress): void; stop(): void } {
  let stage: StagedProgress['stage'] | undefined;
  let show: ProgressShow | undefined;
  return {
    update(progress) {
      if (progress.stage !== stage) {
        show?.stop();
        show = showProgress(io);
        stage = progress.stage;
      }
      show?.update(progress);
    },
    stop: () => show?.stop(),
  };
}

const BAR_WIDTH = 20;

function movingBar(columns: number): ProgressShow {
  let started = false;
  const bar = new SingleBar({
    format: '{bar} {percentage} %  {label}',
    barsize: BAR_WIDTH,
    barCompleteChar: '▓',
    barIncompleteChar: '░',
    // Ctrl-C must end the synchronous work at once, so no handler may stand in its way to show a hidden cursor again.
    hideCursor: false,
    gracefulExit: false,
    clearOnComplete: true,
    // The work is synchronous: no timer fires while it runs, so the bar has to draw itself on update.
    synchronousUpdate: true,
    stream: process.stderr,
  });
  return {
    update({ done, total, label }) {
      const room = Math.max(10, columns - BAR_WIDTH - 10);
      // A longer line would wrap, and the bar could no longer be drawn over.
      const payload = { label: cutMiddle(plainText(label), room) };
      if (!started) bar.start(total, done, payload);
      started = true;
      bar.setTotal(total);
      bar.update(done, payload);
    },
    stop() {
      if (started) bar.stop();
    },
  };
}

/** Both ends of a label say something: the run stands first, the gauge last. */
function cutMiddle(text: string, width: number): string {
  if (text.length <= width) return text;
  const head = Math.floor((width - 1) / 3);
  return `${text.slice(0, head)}…${text.slice(text.length - (width - 1 - head))}`;
}

function plainLines(io: CliIo): ProgressShow {
  let lastTenth = -1;
  return {
    update({ done, total, label }) {
      const tenth = total > 0 ? Math.floor((10 * done) / total) : 0;
      if (tenth <= lastTenth) return;
      lastTenth = tenth;
      io.err(`${String(10 * tenth).padStart(3)} %  ${plainText(label)}\n`);
    },
    stop() {
      lastTenth = 10;
    },
  };
}
