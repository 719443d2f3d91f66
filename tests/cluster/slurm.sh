#!/bin/bash
# The scripts of docs/cluster.md on a real Slurm of one node: every file must be that of one process, byte by byte.
# Slurm (packages slurm-wlm, munge) is started in a temporary folder, on the loopback address, and stopped at the end. As root.
# Exit code: 0 equal, or skipped with a message; 1 not equal.
set -u
cd "$(dirname "$0")/../.."
for program in slurmctld slurmd munged sbatch; do
  PATH="$PATH:/usr/sbin" command -v $program >/dev/null || { echo "skipped: $program is not installed (Debian: slurm-wlm, munge)"; exit 0; }
done
[ "$(id -u)" = 0 ] || { echo "skipped: starting Slurm's daemons needs root"; exit 0; }
PATH="$PATH:/usr/sbin"

work=$(mktemp -d "${TMPDIR:-/tmp}/kneeward-slurm.XXXXXX")
chmod 755 "$work"
pids=()
finish() {
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null; done
  sleep 1
  for pid in "${pids[@]}"; do kill -9 "$pid" 2>/dev/null; done
  rm -rf "$work"
}
trap finish EXIT

host=$(hostname -s)
mkdir -p "$work"/{munge,state,spool,bin,log}
# munged wants its folders to be its own and closed to others.
chmod 711 "$work/munge"
dd if=/dev/urandom of="$work/munge/key" bs=1024 count=1 status=none
chmod 600 "$work/munge/key"
socket=$work/munge/socket
# Ports of its own: a Slurm that runs here already is left alone.
control_port=$((20000 + RANDOM % 10000))
cat > "$work/slurm.conf" <<CONF
ClusterName=kneeward
SlurmctldHost=$host(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket=$socket
CryptoType=crypto/munge
CommunicationParameters=NoAddrCache
SlurmctldPort=$control_port
SlurmdPort=$((control_port + 1))
StateSaveLocation=$work/state
SlurmdSpoolDir=$work/spool
SlurmctldPidFile=$work/slurmctld.pid
SlurmdPidFile=$work/slurmd.pid
SlurmctldLogFile=$work/log/slurmctld.log
SlurmdLogFile=$work/log/slurmd.log
ProctrackType=proctrack/pgid
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
SlurmdParameters=config_overrides
ReturnToService=2
MpiDefault=none
SchedulerParameters=sched_interval=2,batch_sched_delay=1
NodeName=$host NodeAddr=127.0.0.1 CPUs=2 RealMemory=6000 State=UNKNOWN
PartitionName=main Nodes=ALL Default=YES MaxTime=INFINITE State=UP
CONF
export SLURM_CONF=$work/slurm.conf

munged --foreground --force --key-file="$work/munge/key" --socket="$socket" --pid-file="$work/munge/pid" \
  --log-file="$work/munge/log" --seed-file="$work/munge/seed" 2>"$work/log/munged.log" & pids+=($!)
for _ in $(seq 50); do [ -S "$socket" ] && break; sleep 0.2; done
slurmctld -D -c -f "$SLURM_CONF" >/dev/null 2>&1 & pids+=($!)
slurmd -D -f "$SLURM_CONF" -N "$host" >/dev/null 2>&1 & pids+=($!)
for _ in $(seq 150); do sinfo -h -o %T 2>/dev/null | grep -q idle && break; sleep 0.4; done
sinfo -h -o %T 2>/dev/null | grep -q idle || {
  echo "FAIL: Slurm did not start"; tail -n 20 "$work"/log/*.log; exit 1
}

# The command as it is called on this page's nodes, and the page's own scripts.
printf '#!/bin/bash\nexec "%s" "%s/src/cli/kneeward.mjs" "$@"\n' "$(command -v node)" "$PWD" > "$work/bin/kneeward"
chmod +x "$work/bin/kneeward"
export PATH="$work/bin:$PATH"
script() { awk -v name="$1" '/^```bash/ { text = ""; inside = 1; next } /^```/ { if (inside && text ~ name) printf "%s", text; inside = 0 } inside { text = text $0 "\n" }' docs/cluster.md; }
script kneeward-parts > "$work/study-parts.sh"
script kneeward-merge > "$work/study-merge.sh"
grep -q SBATCH "$work/study-parts.sh" && grep -q SBATCH "$work/study-merge.sh" || { echo "FAIL: the page has no scripts"; exit 1; }

node_modules/.bin/tsx tests/cluster/small-study.ts "$work/lab" 8 120
export STUDY=$work/lab/study.yaml OUT=$work/by-slurm KNEEWARD_OPTIONS="--quiet --no-intervals"
cd "$work"
# Merging too early says what is missing and fails; the array, submitted by the page's words, mends it.
kneeward study "$STUDY" --out "$work/early" --merge $KNEEWARD_OPTIONS >/dev/null 2>&1 && { echo "FAIL: nothing was merged without a word"; exit 1; }
parts=$(sbatch --parsable --export=ALL study-parts.sh) || exit 1
merge=$(sbatch --parsable --export=ALL --dependency=afterany:"$parts" study-merge.sh) || exit 1
for _ in $(seq 900); do squeue -h -j "$merge" 2>/dev/null | grep -q . || break; sleep 1; done
code=$(scontrol show job "$merge" | grep -o 'ExitCode=[0-9]*' | head -n 1 | cut -d= -f2)

kneeward study "$STUDY" --out "$work/by-one" --workers 1 $KNEEWARD_OPTIONS >/dev/null 2>"$work/one.log"
alone=$?
files=$(find "$work/by-one" -type f -not -path '*/.study/*' | wc -l)
if diff -r -x .study "$work/by-one" "$work/by-slurm" && [ "$code" = "$alone" ] && [ "$alone" = 1 ]; then
  echo "ok: $files files of a Slurm array of eight parts, merged, are those of one process; exit code $code (one recording is bad)"
else
  echo "FAIL: the files differ, or the exit codes ($code by Slurm, $alone alone, 1 expected)"
  cat "$work"/kneeward-*.log
  exit 1
fi
