// Takes the pictures of docs/shots/ from the demo house, in which one more day is at
// work: make shots
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const dir = mkdtempSync(join(tmpdir(), 'combline-shots-'))
const program = join(dir, 'combline')
const house = join(dir, 'house')
execFileSync('go', ['build', '-o', program, './cmd/combline'], { cwd: root, stdio: 'inherit' })
execFileSync(program, ['demo', house, '--no-pages'], { env: { ...process.env, HOME: dir }, stdio: 'inherit' })
process.env.COMBLINE = program
const { browse, serve, sizes, tablet } = await import('../internal/web/browser/lib.mjs')

// A day on which honey is warmed and settles, and a late lot is spun.
const day = [
  ['honey-moved', 'to=T1', 'pours.1.from=D042', 'pours.1.emptied=yes', 'pours.2.from=D043', 'pours.2.emptied=yes', 'pours.3.from=D044', 'pours.3.emptied=yes'],
  ['honey-moved', 'to=T2', 'pours.1.from=D002', 'pours.1.emptied=yes', 'pours.2.from=D003', 'pours.2.emptied=yes'],
  ['honey-moved', 'to=T3', 'pours.1.from=D072', 'pours.1.emptied=yes'],
  ['placed', 'place=warming room', 'what=D009; D010; D011; D012; D026'],
  ['temperature-read', 'of=warming room', 'temp=38.2 °C'],
  ['temperature-read', 'of=T1', 'temp=34.1 °C'],
  ['temperature-read', 'of=T2', 'temp=31.6 °C'],
  ['lot-opened', 'lot=L11', 'site=Wythe Hollow', 'pulled=2026-11-29', 'honey=forest'],
  ['supers-pulled', 'lot=L11', 'site=Wythe Hollow', 'boxes=40'],
  ...[157.4, 161.2, 149.8, 158.6].map((kg) => ['supers-received', 'lot=L11', 'hot_room=after', 'scale=platform scale', 'stacks.1.boxes=6', `stacks.1.gross=${kg} kg`, 'stacks.1.tray=4 kg']),
  ['supers-spun', 'lot=L11', 'boxes=7', 'loads=1', 'machines=extractor A'],
  ['lot-ran-into', 'lot=L11', 'into=S1'],
  ['supers-spun', 'lot=L11', 'boxes=7', 'loads=1', 'machines=extractor B'],
  ['start-checked', 'of=extractor A; extractor B', 'lines.1.what=guards on', 'lines.1.in_order=yes'],
]
for (const fact of day) {
  let confirm = []
  for (let i = 0; ; i++) {
    const r = spawnSync(program, ['record', ...fact, '--house', house, '--person', 'owner', '--json', ...confirm], { encoding: 'utf8' })
    if (r.status === 0) break
    const ids = [...(r.stdout + r.stderr).matchAll(/"id":\s*"([^"]+)"/g)].map((m) => m[1])
    if (r.status !== 5 || ids.length === 0 || i > 3) throw new Error(`${fact.join(' ')}: ${r.stdout}${r.stderr}`)
    confirm = ids.flatMap((id) => ['--confirm', id])
  }
}

// Name, address, sizes, and what is done to the page before.
const phone = { width: 390, height: 844 }
const shots = [
  ['today', '/', ['tablet', 'upright', 'office']],
  ['today-dark', '/', ['tablet'], { dark: true }],
  ['intake', '/intake?lot=L11', ['tablet']],
  ['extract', '/extract', ['tablet']],
  ['vessel', '/vessel?of=T1', ['tablet']],
  ['stock', '/stock', ['tablet', 'phone']],
  ['trace', '/trace?of=R1-01', ['tablet', 'upright', 'office']],
  ['recall', '/recall?of=R1-01', ['tablet']],
  ['holds', '/holds', ['tablet']],
  ['balance', '/balance?of=L05', ['tablet']],
  ['sites', '/sites', ['tablet']],
]

const out = join(root, 'docs/shots')
mkdirSync(out, { recursive: true })
for (const old of readdirSync(out)) rmSync(join(out, old))
const site = await serve(house)
const browser = await browse()
for (const [name, path, which, { dark } = {}] of shots) {
  for (const size of which) {
    const page = await tablet(browser, site, { size: size === 'phone' ? phone : sizes[size] })
    if (dark) await page.context().addCookies([{ name: 'room', value: 'dark', url: site.url }])
    await page.goto(site.url + path)
    await page.evaluate(() => document.fonts.ready)
    const file = join(out, `${name}-${size}.png`)
    await page.screenshot({ path: file })
    const kB = statSync(file).size / 1000
    if (kB > 150) throw new Error(`${file} is ${kB} kB, at most 150`)
    await page.context().close()
  }
}
await browser.close()
await site.stop()
rmSync(dir, { recursive: true })
