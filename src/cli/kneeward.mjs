#!/usr/bin/env node
// The sources are TypeScript and run as they are: this file only teaches Node to read them, then starts the command line.
import { register } from 'tsx/esm/api';

// A reader that has seen enough (| head) closes the pipe: that is no fault, and the results are still written.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error) => {
    if (error.code !== 'EPIPE') throw error;
  });
}

register();
const { main } = await import('./main.ts');
process.exitCode = await main(process.argv.slice(2));
