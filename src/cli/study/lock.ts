import { readdirSync, readFileSync, readlinkSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { runInWords, studyLocked, studyLockedElsewhere } from '../../messages/study-run.ts';
import type { Disk } from './disk.ts';
import { stateFolder } from './places.ts';

/** One run that writes into the folder of a study. */
export interface LockHolder {
  readonly token: string;
  readonly host: string;
  /** Namespace of process ids: two containers may share a name and a disk. '' where the system has none. */
  readonly space: string;
  readonly pid: number;
  /** When the process began, as the system counts it: ids of processes are used again. '' where it does not say. */
  readonly began: string;
  /** null: the whole study. */
  readonly part: number | null;
  readonly of: number | null;
}

const LOCK = /^lock-.+\.json$/;
const WORK = /^work-(.+)$/;

/** Two parts of one partition have no recording in common; all else does. */
const conflict = (a: LockHolder, b: LockHolder): boolean =>
  a.part === null || b.part === null || a.of !== b.of || a.part === b.part;

/** Whether the process of a lock still runs; null where that cannot be known from here. */
export function isAlive({ host, space, pid, began }: LockHolder): boolean | null {
  const here = thisProcess();
  if (host !== here.host || space !== here.space) return null;
  try {
    process.kill(pid, 0);
  } catch (error) {
    // EPERM: it runs, and belongs to another user.
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return false;
  }
  return beganAt(pid) === began;
}

/** What a lock says of a process of this machine. */
export function thisProcess(pid = process.pid): Pick<LockHolder, 'host' | 'space' | 'pid' | 'began'> {
  return { host: hostname(), space: processSpace(), pid, began: beganAt(pid) };
}

function processSpace(): string {
  try {
    return readlinkSync('/proc/self/ns/pid');
  } catch {
    return '';
  }
}

/** Field 22 of /proc/<pid>/stat, clock ticks from the start of the machine to that of the process (proc(5)). */
function beganAt(pid: number): string {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // The name of the program, field 2, stands in brackets and may hold anything.
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19];
  } catch {
    return '';
  }
}

export interface HeldLock {
  /** Folder for what is not yet a result; gone with the lock. */
  readonly work: string;
  release(): void;
}

/**
 * Takes the folder of a study for this run, or throws a DataError that says who has it.
 *
 * Every run has a lock file under a name of its own: it is written first, and then the others are looked at. Of two runs that
 * begin together at least one sees the other (it may be both, then neither goes on). A lock is never taken over, only
 * that of a dead process removed, so that no run can remove the lock of a living one.
 */
export function takeLock(disk: Disk, out: string, part: number | null, of: number | null): HeldLock {
  const folder = stateFolder(out);
  const token = `${process.pid}-${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
  const own: LockHolder = { token, ...thisProcess(), part, of };
  const file = lockFile(folder, token);
  const work = join(folder, `work-${token}`);
  disk.makeFolder(folder);
  disk.write(`${file}.new`, JSON.stringify(own));
  disk.rename(`${file}.new`, file);
  const release = () => {
    disk.remove(work);
    disk.remove(file);
  };
  // Work folders first: each has a lock that was there before it.
  const names = readdirSync(folder);
  const others = holders(folder).filter((one) => one.token !== token);
  for (const other of others) {
    const alive = isAlive(other);
    if (alive === false) {
      disk.remove(lockFile(folder, other.token));
    } else if (conflict(own, other)) {
      disk.remove(file);
      const said = runInWords(other.part, other.of, other.pid);
      const at = lockFile(folder, other.token);
      throw alive === null ? studyLockedElsewhere(out, said, other.host, at) : studyLocked(out, said, at);
    }
  }
  const held = new Set(others.filter((one) => isAlive(one) !== false).map((one) => one.token));
  for (const name of names) {
    const owner = WORK.exec(name)?.[1];
    if (owner !== undefined && owner !== token && !held.has(owner)) disk.remove(join(folder, name));
  }
  disk.makeFolder(work);
  return { work, release };
}

const lockFile = (folder: string, token: string): string => join(folder, `lock-${token}.json`);

/** Whoever has a lock there; one that cannot be read holds nothing, as it was renamed into place whole. */
function holders(folder: string): LockHolder[] {
  return readdirSync(folder).flatMap((name) => {
    if (!LOCK.test(name)) return [];
    try {
      const holder = JSON.parse(readFileSync(join(folder, name), 'utf8')) as LockHolder;
      return typeof holder.token === 'string' && typeof holder.pid === 'number' ? [holder] : [];
    } catch {
      return [];
    }
  });
}
