// A process that analyses recordings for `kneeward study`: teaches Node to read TypeScript, then waits for jobs.
import { register } from 'tsx/esm/api';

register();
const { serveJobs } = await import('./worker.ts');
serveJobs();
