/**
 * The closed list of power-correction standards, as named on the wire.
 *
 * Each id has exactly one entry in the engine's registry, which states its pressure definition, reference state,
 * validity range and basis. An id never changes meaning: a revised standard gets an id of its own.
 */
export const correctionIds = [
  /** The figures stand as measured. */
  'none',
  /** UN Regulation No. 85 and ISO 1585 form, spark ignition, naturally aspirated. Dry-air pressure, 99 kPa, 298 K. */
  'un-r85',
  /** Regulation (EU) No 134/2014, annex X, appendix 2.2 (motorcycles), spark ignition. Dry-air pressure. */
  'eu-134-2014',
  /** SAE J1349, revision of June 1990, spark ignition, 85 % mechanical efficiency. Dry-air pressure, 990 hPa, 25 degC. */
  'sae-j1349-jun90',
  /** SAE J607 (cancelled), the trade's "STD". Dry-air pressure, 29.92 inHg, 60 degF. */
  'sae-j607',
  /** DIN 70020. Total (not dry) pressure, 1013 mbar, 20 degC. */
  'din-70020',
  /** UN Regulation No. 85, compression ignition, naturally aspirated or mechanically supercharged. */
  'un-r85-ci-natural',
  /** UN Regulation No. 85, compression ignition, turbocharged with or without charge-air cooling. */
  'un-r85-ci-turbocharged',
  /** ISO 1585, compression ignition, naturally aspirated or mechanically supercharged. */
  'iso-1585-ci-natural',
  /** ISO 1585, compression ignition, turbocharged without cooler or with air-to-air charge cooling. */
  'iso-1585-ci-turbocharged-air',
  /** ISO 1585, compression ignition, turbocharged with liquid-cooled charge. */
  'iso-1585-ci-turbocharged-liquid',
] as const

/** The name of one power-correction standard. */
export type CorrectionId = (typeof correctionIds)[number]
