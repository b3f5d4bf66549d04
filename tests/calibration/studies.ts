import { cheatingStudy } from './studies/cheating-study.ts'
import { coverageStudy } from './studies/coverage-study.ts'
import { detectionStudy } from './studies/detection-study.ts'
import { falseAlarmStudy } from './studies/false-alarm-study.ts'
import { oracleStudy } from './studies/oracle-study.ts'
import { wholeChainStudy } from './studies/whole-chain-study.ts'
import type { Study } from './study.ts'

/** All studies in the order of the results page. */
export const studies: readonly Study[] = [
  coverageStudy,
  wholeChainStudy,
  falseAlarmStudy,
  detectionStudy,
  cheatingStudy,
  oracleStudy,
]
