// The files that the program reads and writes, in memory, under the functions that Go's library calls for them. What of them changes is
// written into the browser's own storage by disk.keep, and is there again after disk.load.
"use strict";
const disk = (() => {
  const FOLDER = 0o040000, PLAIN = 0o100000, KIND = 0o170000;
  const flags = { O_RDONLY: 0, O_WRONLY: 1, O_RDWR: 2, O_CREAT: 64, O_EXCL: 128, O_TRUNC: 512, O_APPEND: 1024, O_DIRECTORY: 65536 };
  const fault = (code) => Object.assign(new Error(code), { code });
  const node = (mode, holds) => ({ mode, ...holds, ino: ++last, at: Date.now() });
  let last = 0, root, handles, changed, turn, storage;

  const empty = () => {
    root = node(FOLDER | 0o700, { kids: new Map() });
    handles = new Map([[0, null], [1, null], [2, null]]);
    changed = new Set();
  };
  const parts = (path) => path.split("/").filter((p) => p !== "" && p !== ".");
  const find = (path) => {
    let n = root;
    for (const p of parts(path)) {
      if (!n.kids) throw fault("ENOTDIR");
      n = n.kids.get(p);
      if (!n) throw fault("ENOENT");
    }
    return n;
  };
  const above = (path) => { // the folder that a path lies in, and its name there
    const all = parts(path), name = all.pop(), folder = find(all.join("/"));
    if (!folder.kids) throw fault("ENOTDIR");
    if (name === undefined || name === "..") throw fault("EINVAL");
    return [folder, name];
  };
  const touch = (path) => changed.add("/" + parts(path).join("/"));
  const handle = (fd) => {
    const h = handles.get(fd);
    if (!h) throw fault("EBADF");
    return h;
  };
  const stat = (n) => ({
    dev: 1, ino: n.ino, mode: n.mode, nlink: 1, uid: 0, gid: 0, rdev: 0, size: n.kids ? 0 : n.data.length, blksize: 4096, blocks: 0,
    atimeMs: n.at, mtimeMs: n.at, ctimeMs: n.at, isDirectory: () => !!n.kids,
  });
  const remove = (path, folders) => {
    const [folder, name] = above(path), n = folder.kids.get(name);
    if (!n) throw fault("ENOENT");
    if (!n.kids && folders) throw fault("ENOTDIR");
    if (n.kids && !folders) throw fault("EISDIR");
    if (n.kids && n.kids.size > 0) throw fault("ENOTEMPTY");
    folder.kids.delete(name);
    touch(path);
  };
  const write = (fd, from, at) => {
    if (fd === 1 || fd === 2) return from.length; // what is printed could have a body in it
    const h = handle(fd);
    if (!h.writes) throw fault("EBADF");
    const n = h.node, to = h.appends ? n.data.length : at === null ? h.at : at;
    const data = new Uint8Array(Math.max(n.data.length, to + from.length));
    data.set(n.data);
    data.set(from, to);
    n.data = data;
    n.at = Date.now();
    if (at === null) h.at = to + from.length;
    touch(h.path);
    return from.length;
  };

  const does = {
    open(path, how, mode) {
      let n;
      try {
        n = find(path);
      } catch (e) {
        if (e.code !== "ENOENT" || !(how & flags.O_CREAT)) throw e;
        const [folder, name] = above(path);
        folder.kids.set(name, n = node(PLAIN | mode & 0o777, { data: new Uint8Array() }));
        touch(path);
        how &= ~flags.O_EXCL;
      }
      const writes = (how & (flags.O_WRONLY | flags.O_RDWR)) !== 0;
      if (how & flags.O_CREAT && how & flags.O_EXCL) throw fault("EEXIST");
      if (n.kids && writes) throw fault("EISDIR");
      if (!n.kids && (how & flags.O_DIRECTORY || path.endsWith("/"))) throw fault("ENOTDIR");
      if (writes && how & flags.O_TRUNC) {
        n.data = new Uint8Array();
        touch(path);
      }
      const fd = Math.max(...handles.keys()) + 1;
      handles.set(fd, { node: n, path, at: 0, writes, appends: (how & flags.O_APPEND) !== 0 });
      return fd;
    },
    close(fd) {
      handle(fd);
      handles.delete(fd);
    },
    read(fd, into, offset, length, at) {
      const h = handle(fd);
      if (h.node.kids) throw fault("EISDIR");
      const from = at === null ? h.at : at, some = h.node.data.subarray(from, from + length);
      into.set(some, offset);
      if (at === null) h.at += some.length;
      return some.length;
    },
    write: (fd, from, offset, length, at) => write(fd, from.subarray(offset, offset + length), at),
    stat: (path) => stat(find(path)),
    lstat: (path) => stat(find(path)), // there are no links
    fstat: (fd) => stat(handle(fd).node),
    fsync(fd) { handle(fd); }, // all is kept before the answer is given
    readdir(path) {
      const n = find(path);
      if (!n.kids) throw fault("ENOTDIR");
      return [...n.kids.keys()].sort();
    },
    mkdir(path, mode) {
      const [folder, name] = above(path);
      if (folder.kids.has(name)) throw fault("EEXIST");
      folder.kids.set(name, node(FOLDER | mode & 0o777, { kids: new Map() }));
    },
    rename(from, to) {
      const [a, was] = above(from), [b, name] = above(to), n = a.kids.get(was), there = b.kids.get(name);
      if (!n) throw fault("ENOENT");
      if (n.kids) throw fault("ENOSYS"); // no folder of a notebook ever is
      if (there && there.kids) throw fault("EISDIR");
      a.kids.delete(was);
      b.kids.set(name, n);
      touch(from);
      touch(to);
    },
    unlink: (path) => remove(path, false),
    rmdir: (path) => remove(path, true),
    chmod(path, mode) { const n = find(path); n.mode = n.mode & KIND | mode & 0o777; },
    fchmod(fd, mode) { const n = handle(fd).node; n.mode = n.mode & KIND | mode & 0o777; },
    ftruncate(fd, length) {
      const h = handle(fd), data = new Uint8Array(length);
      data.set(h.node.data.subarray(0, length));
      h.node.data = data;
      touch(h.path);
    },
  };
  const lacks = Object.fromEntries(["chown", "fchown", "lchown", "link", "readlink", "symlink", "truncate", "utimes"].map((name) => [name, () => { throw fault("ENOSYS"); }]));

  globalThis.fs = { constants: flags, writeSync: (fd, from) => write(fd, from, null) };
  for (const [name, work] of Object.entries({ ...does, ...lacks })) {
    globalThis.fs[name] = (...args) => {
      const done = args.pop();
      let result;
      try {
        result = work(...args);
      } catch (e) {
        if (!e.code) throw e;
        return done(e);
      }
      done(null, result);
    };
  }
  empty();

  // The browser's storage: a file by its path, and in what turn of whoever wrote it was written last.
  const answered = (request) => new Promise((done, fail) => { request.onsuccess = () => done(request.result); request.onerror = () => fail(request.error); });
  const within = async (mode, work) => {
    const t = storage.transaction(["files", "about"], mode, { durability: "strict" });
    const over = new Promise((done, fail) => { t.oncomplete = done; t.onabort = t.onerror = () => fail(t.error); });
    const [result] = await Promise.all([work(t.objectStore("files"), t.objectStore("about")), over]);
    return result;
  };
  const storedTurn = async (about) => await answered(about.get("turn")) || 0;

  return {
    // load takes what is kept under a name for all there is.
    async load(name) {
      if (!storage) {
        const opening = indexedDB.open(name, 1);
        opening.onupgradeneeded = () => { for (const s of ["files", "about"]) opening.result.createObjectStore(s); };
        storage = await answered(opening);
        storage.onclose = storage.onversionchange = () => { storage.close(); storage = undefined; };
      }
      empty();
      await within("readonly", async (files, about) => {
        const [paths, texts, stored] = await Promise.all([answered(files.getAllKeys()), answered(files.getAll()), storedTurn(about)]);
        turn = stored;
        paths.forEach((path, i) => {
          let folder = root;
          const all = parts(path), name = all.pop();
          for (const p of all) {
            if (!folder.kids.has(p)) folder.kids.set(p, node(FOLDER | 0o700, { kids: new Map() }));
            folder = folder.kids.get(p);
          }
          folder.kids.set(name, node(PLAIN | 0o600, { data: texts[i] }));
        });
      });
    },
    // current tells whether nobody else has kept anything since.
    current: async () => Boolean(storage) && await within("readonly", async (_, about) => await storedTurn(about) === turn),
    // keep keeps what has changed, all of it or nothing.
    async keep() {
      if (changed.size === 0) return;
      await within("readwrite", async (files, about) => {
        for (const path of changed) {
          let n;
          try { n = find(path); } catch { /* it was removed */ }
          if (n && n.data) files.put(n.data, path); else files.delete(path);
        }
        about.put(turn + 1, "turn");
      });
      turn++;
      changed.clear();
    },
    // secret is a text that only this place has, made once.
    secret: () => within("readwrite", async (_, about) => {
      let text = await answered(about.get("secret"));
      if (!text) about.put(text = crypto.randomUUID(), "secret");
      return text;
    }),
  };
})();
