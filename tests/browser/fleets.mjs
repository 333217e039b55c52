// Fleets whose pages are looked at, made of the demo fleet.
import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const read = (path) => JSON.parse(readFileSync(path, 'utf8'));
const write = (path, value) => writeFileSync(path, JSON.stringify(value));

/// Copies the demo to `folder` and writes the others beside it.
export function make_fleets(demo, folder) {
  cpSync(demo, folder, { recursive: true });
  const fleet = read(join(folder, 'fleet.json'));
  const greases = read(join(folder, 'greases.json'));

  // No grease for the cold routes, and hoses of the dolly rated below its pump.
  const flagged = structuredClone(fleet);
  flagged.greases = 'few_greases.json';
  delete flagged.readings;  // of greases that are not there
  flagged.installations.find((i) => i.name === 'dolly').ratings = ['150 bar'];
  flagged.routes[1].installations.push('dolly');
  write(join(folder, 'few_greases.json'), { ...greases, rows: greases.rows.slice(0, 2) });
  write(join(folder, 'flagged.json'), flagged);

  const forty = structuredClone(fleet);
  forty.routes = Array.from({ length: 40 }, (_, n) => {
    const like = fleet.routes[n % fleet.routes.length];
    return { ...like, name: `${like.name} ${n + 1}`, region: `${like.region} ${1 + (n % 5)}` };
  });
  write(join(folder, 'forty.json'), forty);

  // Names as long as a careless export writes them, without a place to break, and full of marks of HTML.
  const hard = structuredClone(fleet);
  const long = `<i>"&amp;'${'x'.repeat(190)}`;
  hard.about = `${hard.about} ${long}`;
  hard.greases = 'hard_greases.json';
  delete hard.readings;
  for (const i of hard.installations) {
    for (const l of i.lines ?? []) l.point = `${l.point} ${long}`;
  }
  const renamed = new Map(hard.installations.map((i) => [i.name, `${i.name} ${long}`]));
  for (const i of hard.installations) i.name = renamed.get(i.name);
  for (const r of hard.routes) {
    const installations = r.installations.map((i) => renamed.get(i));
    Object.assign(r, { name: `${r.name} ${long}`, region: long, installations });
  }
  const rows = greases.rows.map((g) => ({ ...g, name: `${g.name} ${long}` }));
  write(join(folder, 'hard_greases.json'), { ...greases, rows });
  write(join(folder, 'hard.json'), hard);

  // Readings of running systems, one far too soft, one at all the pump has, one where nothing is known of the grease.
  const odd = ['2023-10-09,T-90,,"tractor, 250 bar",,Synthetic 1,-10,22,,',
    '2023-10-09,T-91,,"tractor, 250 bar",,Synthetic 1,-11,279,,',
    '2023-10-09,T-92,,"tractor, 250 bar",brake cam rear right,Synthetic 1,-62,,no,12'];
  const taken = readFileSync(join(folder, 'readings.csv'), 'utf8').trimEnd();
  writeFileSync(join(folder, 'odd_readings.csv'), `${[taken, ...odd].join('\n')}\n`);
  write(join(folder, 'odd_readings.json'), { ...fleet, readings: 'odd_readings.csv' });

  return [
    {
      name: 'demo', path: join(folder, 'fleet.json'), most_bytes: 300_000, most_pages: 14,
      readers: ['buyer', 'engineer', 'workshop'],
    },
    { name: 'red flags, no grease that serves', path: join(folder, 'flagged.json'), flagged: true },
    { name: 'readings that do not fit', path: join(folder, 'odd_readings.json') },
    { name: 'hard names', path: join(folder, 'hard.json') },
    { name: '40 routes', path: join(folder, 'forty.json') },
  ];
}
