import type { RigAdapter } from '../../exchange/rig/rig-adapter.js';

/** The same adapter with another way of writing. */
export function writing(adapter: RigAdapter, writeKeys: RigAdapter['writeKeys']): RigAdapter {
  const { takeCopy, putBack } = adapter;
  return {
    facts: adapter.facts,
    channels: () => adapter.channels(),
    readKeys: (channel, mode) => adapter.readKeys(channel, mode),
    writeKeys,
    ...(takeCopy && putBack ? { takeCopy: takeCopy.bind(adapter), putBack: putBack.bind(adapter) } : {}),
  };
}
