// A Slurm cluster of two nodes in one folder: munged, slurmctld and two slurmd in the foreground, all on the loopback
// interface, with a key and a configuration of their own. Nothing outside the folder is read or written.
import { spawn, spawnSync } from "node:child_process";
import { randomBytes } from "node:crypto";
import { mkdirSync, openSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { hostname, userInfo } from "node:os";
import { join } from "node:path";
import { until } from "./until.mjs";

const NODES = ["node1", "node2"];
/** A node that says nothing for so long is down, and its parts go to another. */
const NODE_TIMEOUT_S = 8;

export class Cluster {
  #folder;
  #daemons = new Map();
  #ports = [];
  #isStopped = false;
  /** The environment for commands of Slurm, and so for its jobs. */
  env;

  /** @param folder an empty one, for everything that the cluster writes @param path folders of programs for the jobs */
  constructor(folder, path) {
    this.#folder = folder;
    this.env = { ...process.env, SLURM_CONF: join(folder, "slurm.conf"), PATH: path };
  }

  async start() {
    this.#ports = await freePorts(1 + NODES.length);
    for (const name of ["state", ...NODES]) mkdirSync(join(this.#folder, name));
    writeFileSync(this.#at("munge.key"), randomBytes(1024), { mode: 0o400 });
    writeFileSync(this.#at("slurm.conf"), this.#configuration());
    // Processes are followed by their parents: a container has no control groups to give away.
    writeFileSync(this.#at("cgroup.conf"), "CgroupAutomount=no\n");
    const files = ["key-file=munge.key", "socket=munge.socket", "pid-file=munge.pid", "log-file=munge.log"];
    const options = [...files, "seed-file=munge.seed"].map((file) => `--${file.replace("=", `=${this.#folder}/`)}`);
    this.#run("munged", "munged", ["--foreground", "--num-threads=1", ...options]);
    await until("munged answers", 20, () =>
      this.#says("munge", ["--no-input", `--socket=${this.#at("munge.socket")}`]),
    );
    this.#run("slurmctld", "slurmctld", ["-D", "-i"]);
    for (const node of NODES) this.startNode(node);
    await until("both nodes are idle", 60, () => this.stateOf("node1") === "idle" && this.stateOf("node2") === "idle");
  }

  startNode(node) {
    this.#run(node, "slurmd", ["-D", "-N", node]);
  }

  /** Ends the daemon of a node and all that it runs, as a power cut would. */
  async killNode(node) {
    const daemon = this.#daemons.get(node);
    // Daemons first: what watches a job would else still report how it ended.
    for (const variable of ["CLUSTER_NODE", "SLURMD_NODENAME"]) {
      for (const pid of this.#processes({ [variable]: node })) kill(pid);
    }
    await until(`${node} is dead`, 10, () => daemon.exitCode !== null || daemon.signalCode !== null);
  }

  /** Ends everything. */
  async stop() {
    this.#isStopped = true;
    // A job can begin another process while it is being ended: again, until there is none.
    await until("all of the cluster has ended", 20, () => {
      const left = this.#processes({});
      for (const pid of left) kill(pid);
      return left.length === 0;
    });
  }

  /** @returns a node's state in a word, as sinfo has it */
  stateOf(node) {
    return this.ask("sinfo", ["--noheader", "--format=%T", `--nodes=${node}`]);
  }

  /** @returns what a command of Slurm prints; an empty text where it fails, or the cluster is stopped */
  ask(command, args) {
    // Nobody is there to answer, and a command of Slurm would wait for it.
    if (this.#isStopped) return "";
    const { status, stdout } = spawnSync(command, args, { env: this.env, encoding: "utf8", timeout: 20_000 });
    return status === 0 ? stdout.trim() : "";
  }

  /** @returns addresses beyond the loopback interface that the cluster listens at */
  foreignListeners() {
    const ports = new Set(this.#ports);
    return listeners().filter(({ port, address }) => ports.has(port) && !address.startsWith("127."));
  }

  /** @returns the last lines of every daemon, for whoever must find out what went wrong */
  logs() {
    return [...this.#daemons.keys()].map((name) => {
      const lines = readFileSync(this.#at(`${name}.out`), "utf8")
        .trimEnd()
        .split("\n")
        .slice(-15);
      return [`-- ${name}`, ...lines].join("\n");
    });
  }

  #at(name) {
    return join(this.#folder, name);
  }

  #run(name, command, args) {
    const out = openSync(this.#at(`${name}.out`), "a");
    const env = { ...this.env, CLUSTER_NODE: name };
    this.#daemons.set(name, spawn(command, args, { env, stdio: ["ignore", out, out] }));
  }

  #says(command, args) {
    return spawnSync(command, args, { env: this.env, stdio: "ignore", timeout: 20_000 }).status === 0;
  }

  /** Processes of this cluster, whoever their parent is by now: each has the path of its configuration around it. */
  #processes(variables) {
    const wanted = Object.entries({ SLURM_CONF: this.env.SLURM_CONF, ...variables }).map(
      ([key, value]) => `${key}=${value}`,
    );
    return readdirSync("/proc")
      .filter((name) => /^\d+$/.test(name) && Number(name) !== process.pid)
      .map(Number)
      .filter((pid) => {
        const environment = environmentOf(pid);
        return wanted.every((one) => environment.includes(one));
      });
  }

  #configuration() {
    const [control, ...nodes] = this.#ports;
    const user = userInfo().username;
    const at = (name) => this.#at(name);
    return `ClusterName=season
SlurmctldHost=${hostname()}(127.0.0.1)
SlurmctldPort=${control}
SlurmUser=${user}
SlurmdUser=${user}
AuthType=auth/munge
AuthInfo=socket=${at("munge.socket")},cred_expire=5
CommunicationParameters=NoInAddrAny,NoCtldInAddrAny
StateSaveLocation=${at("state")}
SlurmdSpoolDir=${at("%n")}
SlurmctldPidFile=${at("slurmctld.pid")}
SlurmdPidFile=${at("%n.pid")}
SlurmctldLogFile=${at("slurmctld.log")}
SlurmdLogFile=${at("%n.log")}
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SwitchType=switch/none
MpiDefault=none
SchedulerType=sched/builtin
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
JobRequeue=1
ReturnToService=2
SlurmdTimeout=${NODE_TIMEOUT_S}
KillWait=2
SlurmdParameters=config_overrides
${nodes.map((port, i) => `NodeName=${NODES[i]} NodeHostname=${hostname()} NodeAddr=127.0.0.1 Port=${port} CPUs=1`).join("\n")}
PartitionName=all Nodes=${NODES.join(",")} Default=YES MaxTime=10 State=UP
`;
  }
}

function kill(pid) {
  try {
    process.kill(pid, "SIGKILL");
  } catch (error) {
    // It ended by itself meanwhile.
    if (error.code !== "ESRCH") throw error;
  }
}

function environmentOf(pid) {
  try {
    return readFileSync(`/proc/${pid}/environ`, "utf8").split("\0");
  } catch (error) {
    // It has ended, or belongs to somebody else.
    if (["ENOENT", "ESRCH", "EACCES", "EPERM"].includes(error.code)) return [];
    throw error;
  }
}

/** Ports of the loopback interface that nobody listens at. */
async function freePorts(count) {
  const servers = Array.from({ length: count }, () => createServer());
  await Promise.all(servers.map((server) => new Promise((done) => server.listen(0, "127.0.0.1", done))));
  const ports = servers.map((server) => server.address().port);
  await Promise.all(servers.map((server) => new Promise((done) => server.close(done))));
  return ports;
}

/** Every TCP port that is listened at on this machine, with the address. */
function listeners() {
  return ["/proc/net/tcp", "/proc/net/tcp6"].flatMap((table) => {
    const rows = readFileSync(table, "utf8").trimEnd().split("\n").slice(1);
    return rows
      .map((row) => row.trim().split(/\s+/))
      .filter(([, , , state]) => state === "0A")
      .map(([, local]) => {
        const [hex, port] = local.split(":");
        // IPv4 alone is told apart; the kernel writes it backwards.
        const address =
          hex.length === 8
            ? hex
                .match(/../g)
                .toReversed()
                .map((byte) => parseInt(byte, 16))
                .join(".")
            : hex;
        return { address, port: parseInt(port, 16) };
      });
  });
}
