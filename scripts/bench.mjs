// Measures the bounds of the design, each as a ratio to its reference in the same
// run, and writes docs/bench.md: node scripts/bench.mjs, or with names as milp/OneOrder or
// heat for these alone; the other rows stay as they were measured, with their day.
import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import os from 'node:os'

// What is measured: package, benchmark, how often, what it is, and the bound.
const measures = [
  ['ledger', 'AppendOne', '2s', 'one fact a commit, durable', 'at least 0.8 × a raw append + fsync loop on the same disk'],
  ['ledger', 'AppendTogether', '2s', '64 appenders together', 'at least 8 × one'],
  ['ledger', 'Read', '1x', '1,000,000 links read and verified, nothing folded', 'none of its own'],
  ['office', 'ReplayMillion', '1x', '1,000,000 facts read, verified, folded', 'at most 2 × reading and SHA-256 alone, on 2 cores; under 400 bytes of memory a fact'],
  ['office', 'Start', '3x', 'start with five seasons, 250,000 facts', 'at most 1 s'],
  ['trace', 'Reach', '300x', 'reach of 2,000 in 10,000,000 nodes, both ways, appends going on', 'at most 1 ms; at least 100 × SQLite\'s recursive query'],
  ['reckon', 'Table', '1x', 'reckon on a table of 1,000,000 rows', 'at least 200,000 rows/s, constant memory'],
  ['fill', 'Stream', '1x', '10,000,000 jar weights through charts, count, sample and verdict, one core', 'at least 2,000,000 weights/s, memory flat'],
  ['cli', 'FillerWeights', '1x', '10,000,000 weights from a socket through journal, charts, counts and verdict to the record, on one core that the sender shares', 'at least 100,000 weights/s, memory flat'],
  ['heat', 'Drum', '300x', 'a 300 kg drum for 96 h, on one core; processor times', 'within 0.01 K and 0.3 % of HMF in at most 20 ms, at least 20 × faster than SciPy\'s best BDF setting'],
  ['heat', 'SetDrum', '100x', 'a granulated drum for 96 h', 'none of its own'],
  ['heat', 'BestSchedule', '1x', 'best schedule of one, two, three set points for a set drum in full doubt', 'under 2 s'],
  ['heat', 'ThousandDrums', '1x', '1,000 set drums for 96 h, on every core', 'under 5 s on 2 cores'],
  ['office', 'Forecasts', '3x', 'forecast of 1,000 drums to their best-before, with bands and the longest', 'under 5 s on 2 cores'],
  ['cli', 'Register', '3x', 'a month\'s register in one command, from opening the house to the files, of one season and of 250,000 entries', 'under 2 s'],
  ['milp', 'OneOrder', '1x', 'blends: one order from 40 to 200 lots proven to 0.1 %, eight of each size', 'geometric mean of the times at most CBC\'s'],
  ['milp', 'TwelveOrders', '1x', 'blends: 12 orders on 200 lots', 'within 0.5 % of the proven bound in 60 s'],
  ['milp', 'FortyOrders', '1x', 'blends: 40 orders on 1,000 lots', 'a sound plan with its proven gap in 60 s, under 1 GiB'],
  ['milp', 'TankQuestion', '20x', 'blends: one order of ten lots', 'under 1 s'],
  ['plan', 'PlanQuick', '1x', 'a first plan: 14 days, 20 orders, 200 lots', 'a plan that the check finds sound in 5 s'],
  ['plan', 'PlanAgain', '1x', 'the plan again after a line or the power was off, a drum on hold, jars late', 'in 5 s'],
  ['plan', 'PlanGap', '1x', 'a better plan and its proof in 60 s', 'at most 5 % of the cost'],
  ['web', 'Pages', '1x', 'every page with five seasons, at the server', 'p99 at most 50 ms'],
  ['web', 'Push', '1x', 'what was written down is news to 8 open pages, over the wire', 'p99 under 200 ms'],
]

const page = 'docs/bench.md'
const only = process.argv.slice(2)
const wanted = ([pkg, name]) => !only.length || only.some((o) => `${pkg}/${name}`.startsWith(o))
const day = () => `${new Date().toISOString().slice(0, 10)}, load ${os.loadavg()[1].toFixed(1)}`

// before holds the rows that stand on the page, by what was measured; a row that begins
// with … belongs to the one above it.
const before = new Map()
for (const line of readFileSync(page, 'utf8').split('\n').filter((l) => l.startsWith('| ')).slice(1)) {
  const row = line.slice(2, -2).split(' | ')
  if (!row[0].startsWith('…')) before.set(row[0], [...(before.get(row[0]) ?? []), row])
  else [...before.values()].at(-1).push(row)
}

const rows = []
for (const [pkg, name, time, what, bound] of measures) {
  if (!wanted([pkg, name])) {
    rows.push(...(before.get(what) ?? []))
    continue
  }
  process.stderr.write(`${pkg} ${name} …\n`)
  let out
  try {
    out = execFileSync('go', ['test', `./internal/${pkg}`, '-run', '^$', '-bench', `^Benchmark${name}`, '-benchtime', time, '-timeout', '30m'], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'], maxBuffer: 1 << 26 })
  } catch (e) {
    out = String(e.stdout)
    process.stderr.write(out)
  }
  const found = []
  for (const line of out.split('\n').filter((l) => l.startsWith('Benchmark'))) {
    const [bench, , ...rest] = line.trim().split(/\s+/)
    const figures = []
    for (let i = 0; i + 1 < rest.length; i += 2) if (rest[i + 1] !== 'ns/op') figures.push(`${rest[i]} ${rest[i + 1]}`)
    found.push([what, bench.replace(/^Benchmark/, '').replace(/-\d+$/, ''), figures.join(', ') || rest.slice(0, 2).join(' '), bound])
  }
  rows.push(...slowest(found).map((row) => [...row, day()]))
  write() // a measurement that takes an hour may be cut off
}

// slowest keeps the ten worst of a benchmark of many parts: the longest p99, the fewest rows a second.
function slowest(found) {
  if (found.length <= 12) return found
  const figure = (row) => Number(row[2].match(/([\d.]+) ms-p99(?![\w-])/)?.[1] ?? -row[2].match(/([\d.]+) rows\/s/)?.[1])
  const all = found.filter((row) => Number.isFinite(figure(row))).sort((a, b) => figure(b) - figure(a))
  const middle = all[all.length >> 1]
  return [...all.slice(0, 10), [`… and ${all.length - 10} more; in the middle`, middle[1], middle[2], middle[3]]]
}

// write writes the page as far as it is measured.
function write() {
  const cpu = os.cpus()
  const kernel = `${os.type()} ${os.release()}`
  const go = execFileSync('go', ['version'], { encoding: 'utf8' }).trim()
  const notes = readFileSync(new URL('bench-notes.md', import.meta.url), 'utf8')
  const rest = measures.map(([, , , what]) => what).filter((what) => !rows.some(([w]) => w === what))
  const all = [...rows, ...rest.flatMap((what) => before.get(what) ?? [])]
  writeFileSync(page, `# Measured

Written by \`make bench\`. Compare ratios, not times: the machine is shared and its speed
drifts; how busy it was stands beside each row.

Machine: ${cpu.length} × ${cpu[0].model.trim()}, ${Math.round(os.totalmem() / 2 ** 30)} GiB, ${kernel}, ${go}.

| what | benchmark | measured | bound | on |
|---|---|---|---|---|
${all.map((r) => `| ${r.join(' | ')} |`).join('\n')}

${notes}`)
}
