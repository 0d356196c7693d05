const EVERY = 1000;

/** Calls `onGone` once when the process that started this one is no more: a kernel must not outlive its front end. */
export function watchParent(onGone: () => void): void {
  const parent = process.ppid;
  // On Windows this holds a handle, not a process number.
  const named = process.platform === "win32" ? Number.NaN : Number(process.env.JPY_PARENT_PID);
  const timer = setInterval(() => {
    const orphaned = process.ppid !== parent || !isAlive(parent) || (named > 1 && !isAlive(named));
    if (!orphaned) return;
    clearInterval(timer);
    onGone();
  }, EVERY);
  timer.unref();
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // A process of another user may not be signalled, but lives.
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
