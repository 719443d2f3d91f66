#!/usr/bin/env node
// The sources are TypeScript: sources.mjs teaches Node to run them, then this file starts the command line.
import { load } from './sources.mjs';

// A reader that has seen enough (| head) closes the pipe: that is no fault, and the results are still written.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error) => {
    if (error.code !== 'EPIPE') throw error;
  });
}

const { main } = await load('main');
process.exitCode = await main(process.argv.slice(2));
