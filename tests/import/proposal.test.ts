import { describe, expect, test } from 'vitest'
import { ImportError, proposalText, proposeColumns } from '../../packages/sdk/src/import/index.ts'
import { headerParts } from '../../packages/sdk/src/import/unit-spelling.ts'

const bytes = (text: string) => new TextEncoder().encode(text)
const propose = (text: string) => proposeColumns(bytes(text), { name: 'b1.csv' })
const byChannel = (text: string) => new Map(propose(text).columns.map((column) => [column.channel, column]))

/** P = T·ω: 20.1 kW at 3000 rpm is 63.98 N m, 70 kW at 11000 rpm is 60.77 N m. */
const fitting = 'RPM,Power,Torque\n3000,20.1,63.98\n7000,50,68.21\n11000,70,60.77\n'

describe('headers taken apart', () => {
  test.each([
    ['Power [kW]', 'Power', 'kW'],
    ['Torque (ft-lb)', 'Torque', 'lbf ft'],
    ['Drehmoment in Nm', 'Drehmoment', 'N m'],
    ['Drehzahl/min⁻¹', 'Drehzahl', 'rpm'],
    ['TPS %', 'TPS', '%'],
    ['RPM', 'RPM', 'rpm'],
    ['Leistung Rad', 'Leistung Rad', undefined],
    ['Lambda 1', 'Lambda 1', undefined],
  ])('%s', (header, name, unit) => {
    expect(headerParts(header)).toEqual({ name, unit })
  })
})

describe('a mapping is proposed from headers and values', () => {
  test('units that the file states are taken from it', () => {
    const found = byChannel('Zeit;Drehzahl;Geschw.;Leistung\ns;1/min;km/h;PS\n0;3000;73,5;23,1\n8;11000;200;90,1\n')
    expect([...found].map(([channel, { header, unit, unitFrom }]) => [channel, header, unit, unitFrom])).toEqual([
      ['time', 'Zeit', 's', 'file'],
      ['engineSpeed', 'Drehzahl', 'rpm', 'file'],
      ['wheelPower', 'Leistung', 'PS', 'file'],
      ['rollerSpeed', 'Geschw.', 'km/h', 'file'],
    ])
  })

  test('units that nobody states come out of power = torque x speed', () => {
    const found = byChannel(fitting)
    expect(found.get('wheelPower')).toMatchObject({ unit: 'kW', unitFrom: 'power-and-torque' })
    expect(found.get('torque')).toMatchObject({ unit: 'N m', unitFrom: 'power-and-torque' })
  })

  test('stated units in which power is not torque x speed are remarked on, not changed', () => {
    const { unit, notes } =
      byChannel(fitting.replace('Power', 'Power [kW]').replace('Torque', 'Torque [lbf ft]')).get('torque') ?? {}
    expect(unit).toBe('lbf ft')
    expect(notes?.join()).toMatch(/is a unit wrong, or is it torque at the axle/)
  })

  test('hp is asked about, since the trade writes it for metric horsepower, too', () => {
    expect(byChannel('RPM,Power [hp]\n3000,20\n9000,70\n').get('wheelPower')?.notes.join()).toMatch(/write PS/)
  })

  test('where several units are possible a person is asked', () => {
    const { unit, choices } = byChannel('speed,power\n3000,20.1\n11000,70\n').get('wheelPower') ?? {}
    expect([unit, choices]).toEqual([null, ['kW', 'hp', 'PS']])
  })

  test('a speed of 11000 is that of the engine, one of 200 that of the rollers', () => {
    expect(byChannel('speed,power\n3000,20.1\n11000,70\n').get('engineSpeed')?.header).toBe('speed')
    expect(byChannel('speed,power\n70,20.1\n200,70\n').get('rollerSpeed')?.header).toBe('speed')
  })

  test('figures as measured go before corrected ones, the wheel before the crankshaft, a loss is neither', () => {
    const file = 'RPM,SAE power kW,Power raw kW,Engine power kW,Power loss kW\n3000,21,20,24,3\n9000,71,70,80,9\n'
    expect(byChannel(file).get('wheelPower')?.header).toBe('Power raw kW')
    expect(propose(file).unused).toEqual(['SAE power kW', 'Engine power kW', 'Power loss kW'])
  })

  test('corrected figures that stand alone are taken, and the question is asked', () => {
    const [note] = byChannel('RPM,Power corr. [kW]\n3000,21\n9000,71\n').get('wheelPower')?.notes ?? []
    expect(note).toContain('processing.correction')
  })

  test('a lambda is told from an air-fuel ratio by its values', () => {
    expect(byChannel('RPM,Lambda\n3000,0.9\n9000,0.88\n').get('mixture')?.as).toBe('lambda')
    expect(byChannel('RPM,AFR\n3000,13.1\n9000,12.9\n').get('mixture')?.as).toBe('afr')
  })

  test.each([
    ['two kilowatts at the peak of a unit', 'RPM,Power [W]\n3000,20.1\n9000,70\n', /unusual: check the unit/],
    ['a header for several runs', 'RPM,Power kW,Power kW\n3000,20,21\n9000,70,71\n', /give each run its part/],
  ])('%s is remarked on', (_, file, note) => {
    expect(byChannel(file).get('wheelPower')?.notes.join()).toMatch(note)
  })

  test('a file without numbers, or without a header, has none', () => {
    expect(() => propose('Speed,Power\nfast,strong\n')).toThrow(ImportError)
    expect(() => propose('3000,20.1\n9000,70\n')).toThrow('no header stands above the first row of numbers')
  })
})

describe('the text to paste', () => {
  test('says what each line rests on and leaves open what a person has to say', () => {
    const text = proposalText(propose('RPM;Leistung;AFR\n3000;20,1;13,1\n11000;70,5;12,9\n'), 'runs/b1.csv')
    expect(text).toBe(`# Proposed from runs/b1.csv:
# semicolons, decimal comma, utf-8; header on line 1, 2 rows of numbers.
# Hold every line against the file before you paste it.
columns:
  # 3000 to 11000 rpm; unit as the file says
  engineSpeed: { header: "RPM", unit: rpm }
  # 20.1 to 70.5; unit not said in the file
  # The unit: say which, kW or hp or PS.
  wheelPower: { header: "Leistung", unit: }
  # 12.9 to 13.1
  # Where is the gas taken? Write bung or tailpipe behind probe, and take away the #.
  # Which stoichiometric ratio does the instrument assume? 14.7 is usual for petrol.
  # mixture: { header: "AFR", unit: '1', as: afr, stoichiometric: 14.7, probe: }
`)
  })
})
