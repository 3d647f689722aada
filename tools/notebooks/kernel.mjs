/**
 * Starts the installed tslab as the notebooks' kernel, with three repairs to the version that is installed (1.0.22).
 *
 * It listens on its sockets while they are still being bound, and a message that comes in between ends the kernel before its first
 * cell ("Socket is blocked by a bind or unbind operation"); on a busy machine that is one start in some dozens. Here nothing is
 * received before all are bound.
 *
 * It says that a cell is done before the cell's last output has left; here it waits a moment.
 *
 * After a cell that fails it drops, without a word, whatever arrives within the next 200 ms. That is right for somebody at
 * a screen; a run that is to name everything that fails sets SIGHTSTAGE_RUN_ALL=1 and nothing is dropped.
 */
import { createRequire } from 'node:module';

// What tslab itself would load, whichever copies there are.
const own = createRequire(createRequire(import.meta.url).resolve('tslab/package.json'));
const { JupyterHandlerImpl, ZmqServer } = own('./dist/jupyter.js');
const { TaskQueue } = own('./dist/util.js');
const { Router, Reply } = own('zeromq');

let allBound;
const bound = new Promise((resolve) => {
  allBound = resolve;
});
const { init } = ZmqServer.prototype;
ZmqServer.prototype.init = async function () {
  await init.call(this);
  allBound();
};
for (const { prototype } of [Router, Reply]) {
  const { receive } = prototype;
  Object.defineProperty(prototype, 'receive', {
    async value() {
      await bound;
      return await receive.call(this);
    },
  });
}

if (process.env.SIGHTSTAGE_RUN_ALL === '1') {
  // Each cell waits for the one before, whatever came of that.
  TaskQueue.prototype.add = function (run) {
    const task = this.prev.then(run);
    this.prev = task.then(
      () => {},
      () => {},
    );
    return task;
  };
  TaskQueue.prototype.reset = () => {};
}

/** What a cell writes last is on its way before anybody hears that the cell is done: a listener drops what comes later. */
const LAST_WORDS_MS = 50;
const { handleExecute } = JupyterHandlerImpl.prototype;
JupyterHandlerImpl.prototype.handleExecute = async function (...request) {
  const reply = await handleExecute.apply(this, request);
  await new Promise((resolve) => setTimeout(resolve, LAST_WORDS_MS));
  return reply;
};

own('./dist/main.js').main();
