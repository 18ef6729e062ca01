// check.mjs FILE.dxf...: reads drawings with libdxfrw and prints, as JSON, how many entities of model space lie on each layer:
// {"FILE.dxf": {"LAYER": 3}}. A drawing it cannot read gives null.
import fs from 'node:fs';
import create from '@mlightcad/libdxfrw-web/dist/libdxfrw.js';

console.log = () => {}; // the library tells its progress there
const lib = await create({ print: () => {}, printErr: () => {} });
const result = {};
for (const file of process.argv.slice(2)) {
  const database = new lib.DRW_Database();
  const model = new lib.DRW_BlockEx();
  const handler = new lib.DRW_FileHandler();
  handler.database = database;
  database.mBlock = model;
  handler.currentBlock = model;
  const reader = new lib.DRW_DxfRW(new Uint8Array(fs.readFileSync(file)));
  // It gives false for every drawing with LAYOUT objects, which it does not handle, so the answer is not asked.
  reader.read(handler, false);
  const counts = {};
  const entities = model.entities;
  for (let i = 0; i < entities.size(); i++) {
    const entity = entities.get(i);
    if (entity.space !== lib.DRW_Space.ModelSpace) continue;
    counts[entity.layer] = (counts[entity.layer] ?? 0) + 1;
  }
  result[file] = entities.size() > 0 ? counts : null;
}
process.stdout.write(JSON.stringify(result));
