/**
 * Starts the installed tslab as the notebooks' kernel, with two repairs to the version that is installed (1.0.22).
 *
 * It listens on its sockets while they are still being bound, and a message that comes in between ends the kernel before its first
 * cell ("Socket is blocked by a bind or unbind operation"); on a busy machine that is one start in some dozens. Here nothing is
 * received before all are bound.
 *
 * After a cell that fails it drops, without a word, whatever arrives within the next 200 ms. That is right for somebody at
 * a screen; a run that is to name everything that fails sets SIGHTSTAGE_RUN_ALL=1 and nothing is dropped.
 */
import { createRequire } from 'node:module';
import { parseArgs } from 'node:util';

// What tslab itself would load, whichever copies there are.
const own = createRequire(createRequire(import.meta.url).resolve('tslab/package.json'));
const { ZmqServer } = own('./dist/jupyter.js');
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
  TaskQueue.prototype.reset = function () {
    this.prev = Promise.resolve();
  };
}

// By itself it would hand over to another installation found above the notebooks' folder, which has none of the above.
const { values } = parseArgs({ options: { 'config-path': { type: 'string' } }, allowPositionals: true });
own('./dist/main.js').startKernel({ configPath: values['config-path'], enableFindLocal: false });
