/** Example bodies of the operations of studies. Each is sent through the service by a test. */
import type { Study, StudyRun } from '@fairpull/sdk/contract'

const engineSpeed = { unit: 'rpm', values: [3000, 4200, 5400, 6600, 7800, 9000, 10_200] } as const

function run(id: string, mounting: string, startedAt: string, values: readonly number[]): StudyRun {
  const channels = { engineSpeed, wheelPower: { unit: 'kW' as const, values } }
  return { id, mounting, purpose: 'measured', startedAt, processing: { correction: 'none' }, channels }
}

/** Two mountings of seven samples a run: too little in every way, which is an answer and no refusal. */
const beginning: Study = {
  protocol: 'motorcycle-rollers@1',
  name: 'House machine, spring',
  facility: { id: 'cell-1', altitude: { value: 120, unit: 'm' }, rollers: [{ id: 'r1', kind: 'inertia' }] },
  vehicle: { id: 'v1', label: 'House machine, 600 cm³', class: 'road machines up to 100 kW' },
  band: { from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
  appliesTo: {
    machine: 'House machine, 600 cm³',
    strapping: 'four ratchet straps, front wheel in the clamp',
    class: 'road machines up to 100 kW',
  },
  mountings: [
    { id: 'm1', at: '2026-05-02T09:00:00+02:00' },
    { id: 'm2', at: '2026-05-02T11:00:00+02:00' },
  ],
  runs: [
    run('r1', 'm1', '2026-05-02T09:10:00+02:00', [18.4, 27.9, 36.8, 47.2, 56.1, 63.5, 61.2]),
    run('r2', 'm1', '2026-05-02T09:14:00+02:00', [18.5, 28, 36.9, 47, 56.3, 63.6, 61]),
    run('r3', 'm2', '2026-05-02T11:10:00+02:00', [18.3, 27.7, 36.6, 46.9, 55.8, 63.1, 60.9]),
    run('r4', 'm2', '2026-05-02T11:14:00+02:00', [18.4, 27.8, 36.5, 47, 55.7, 63.3, 60.7]),
  ],
}

/** Bodies of a study, by name. */
export const studyExamples = { beginning } as const
