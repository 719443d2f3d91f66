// A process that analyses recordings for `kneeward study`: waits for jobs.
import { setFlagsFromString } from 'node:v8';
import { load } from '../sources.mjs';

// Workers fill the cores: what the engine compiles beside takes time from another worker. With its usual budget (67,584, Node
// 20) it compiles small functions anew after every large collection of garbage; with this one two workers on two cores need
// 12 % less time.
setFlagsFromString('--interrupt-budget=1000000');

const { serveJobs } = await load('study/worker');
serveJobs();
