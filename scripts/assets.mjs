// Puts the typeface, the bundled script and the solver where the program embeds them:
// node scripts/assets.mjs
import { build } from 'esbuild'
import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const web = join(root, 'internal/web')
const built = join(web, 'asset/built')
const face = join(root, 'node_modules/@fontsource-variable/ibm-plex-sans')

await mkdir(built, { recursive: true })
for (const script of ['latin', 'latin-ext', 'cyrillic', 'greek']) {
  await copyFile(join(face, `files/ibm-plex-sans-${script}-standard-normal.woff2`), join(built, `plex-${script}.woff2`))
}
await copyFile(join(face, 'LICENSE'), join(built, 'OFL.txt'))

// Paper needs whole fonts: a PDF carries them in a form that the pages' do not have.
const whole = join(root, 'node_modules/@expo-google-fonts/ibm-plex-sans')
const paper = join(root, 'internal/paper/asset/built')
await mkdir(paper, { recursive: true })
await copyFile(join(whole, '400Regular/IBMPlexSans_400Regular.ttf'), join(paper, 'plex-regular.ttf'))
await copyFile(join(whole, '700Bold/IBMPlexSans_700Bold.ttf'), join(paper, 'plex-bold.ttf'))
await copyFile(join(whole, 'LICENSE_FONT'), join(paper, 'OFL.txt'))

await build({
  entryPoints: [join(web, 'script/main.js')],
  outfile: join(built, 'combline.js'),
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  legalComments: 'none',
})

// The solver's functions have short names that change with every release: which is which
// is read from the script that comes with the same binary.
const highs = join(root, 'node_modules/highs')
const milp = join(root, 'internal/milp/asset/built')
await mkdir(milp, { recursive: true })
await copyFile(join(highs, 'build/highs.wasm'), join(milp, 'highs.wasm'))
await copyFile(join(highs, 'LICENSE'), join(milp, 'HiGHS-LICENSE.txt'))
const loader = await readFile(join(highs, 'build/highs.js'), 'utf8')
const names = [...loader.matchAll(/_(\w+)=Module\["_\w+"\]=wasmExports\["(\w+)"\]/g)].map(([, name, short]) => [name, short])
const start = loader.match(/initRuntime\(\)\{.*?wasmExports\["(\w+)"\]\(\)/)?.[1]
const memory = loader.match(/memory=wasmMemory=wasmExports\["(\w+)"\]/)?.[1]
if (names.length < 100 || !start || !memory) throw new Error('the names of the solver\'s functions were not found in build/highs.js')
names.push(['start', start], ['memory', memory])
const { version } = JSON.parse(await readFile(join(highs, 'package.json'), 'utf8'))
await writeFile(join(milp, 'exports.txt'), `highs ${version}\n${names.map((n) => n.join(' ')).sort().join('\n')}\n`)
