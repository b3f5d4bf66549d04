/** The second half of the strategies; see `study.ts`. */
import { playEverySecond } from './study.ts'

playEverySecond(1)
