import { availableParallelism, cpus, loadavg, totalmem } from 'node:os'

/** What a reader has to know of the machine to weigh a figure, in one line; taken as a part begins. */
export function machineFacts(): string {
  const model = cpus()[0]?.model.trim() ?? 'unknown processor'
  const memory = Math.round(totalmem() / 2 ** 30)
  const load = loadavg()[0]?.toFixed(1)
  const day = new Date().toISOString().slice(0, 10)
  return `${day}; Node ${process.version}, ${process.platform}-${process.arch}; ${availableParallelism()} processors (${model}), ${memory} GiB; load average ${load} before the first measurement.`
}
