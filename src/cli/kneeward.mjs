#!/usr/bin/env node
// The sources are TypeScript and run as they are: this file only teaches Node to read them, then starts the command line.
import { register } from 'tsx/esm/api';

register();
const { main } = await import('./main.ts');
process.exitCode = await main(process.argv.slice(2));
