// A process that analyses recordings for `kneeward study`: waits for jobs.
import { load } from '../sources.mjs';

const { serveJobs } = await load('study/worker');
serveJobs();
