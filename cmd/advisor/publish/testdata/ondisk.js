// Runs a Go test program for browsers in Node, on the files of disk.js: node ondisk.js DISK WASM_EXEC PROGRAM ARGUMENT...
"use strict";
const { readFileSync } = require("fs"), { runInThisContext } = require("vm");
const { argv, stdout, exit } = process;
const [disk, support] = argv.slice(2, 4).map((f) => readFileSync(f, "utf8")), program = readFileSync(argv[4]);
runInThisContext(disk);
for (const folder of ["/tmp", "/dev", "/dev/shm"]) fs.mkdir(folder, 0o777, () => {});
const write = fs.write;
fs.writeSync = (_, from) => { stdout.write(Buffer.from(from)); return from.length; };
fs.write = (fd, from, offset, length, at, done) => fd === 1 || fd === 2 ? done(null, fs.writeSync(fd, from.subarray(offset, offset + length))) : write(fd, from, offset, length, at, done);
runInThisContext(support);
const go = new Go();
go.argv = ["notebook.test", ...argv.slice(5)];
go.env = { TMPDIR: "/tmp" };
go.exit = exit;
WebAssembly.instantiate(program, go.importObject).then(({ instance }) => go.run(instance));
