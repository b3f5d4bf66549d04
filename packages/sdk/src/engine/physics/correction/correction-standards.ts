import type { CorrectionId } from '../../../contract/corrections.ts'
import { din70020 } from './din-70020.ts'
import { eu134 } from './eu-134-2014.ts'
import {
  iso1585CiNatural,
  iso1585CiTurbochargedAir,
  iso1585CiTurbochargedLiquid,
} from './iso-1585-compression-ignition.ts'
import { none } from './none.ts'
import { saeJ607 } from './sae-j607.ts'
import { saeJ1349 } from './sae-j1349-jun90.ts'
import type { CorrectionStandard } from './standard.ts'
import { unR85 } from './un-r85.ts'
import { unR85CiNatural, unR85CiTurbocharged } from './un-r85-compression-ignition.ts'

/**
 * Every power-correction standard, by its name on the wire.
 *
 * A standard is one file of this folder and one line here and in the contract's list; each key is the `id` of its entry.
 */
export const correctionStandards = {
  none,
  'un-r85': unR85,
  'eu-134-2014': eu134,
  'sae-j1349-jun90': saeJ1349,
  'sae-j607': saeJ607,
  'din-70020': din70020,
  'un-r85-ci-natural': unR85CiNatural,
  'un-r85-ci-turbocharged': unR85CiTurbocharged,
  'iso-1585-ci-natural': iso1585CiNatural,
  'iso-1585-ci-turbocharged-air': iso1585CiTurbochargedAir,
  'iso-1585-ci-turbocharged-liquid': iso1585CiTurbochargedLiquid,
} as const satisfies { readonly [Id in CorrectionId]: CorrectionStandard & { readonly id: Id } }
