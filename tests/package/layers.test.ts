import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { isBuiltin, isPackage, loadedPackages, partOf, readModules } from './source-graph.js';

// Who may import whom, types included. Whatever is not listed here is not allowed.
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  internal: [],
  curves: ['internal'],
  gait: ['curves', 'internal'],
  secondary: ['gait', 'curves', 'internal'],
  weigh: ['gait', 'curves', 'internal'],
  exchange: ['weigh', 'secondary', 'gait', 'curves', 'internal'],
  'exchange/node': ['exchange', 'weigh', 'secondary', 'gait', 'curves', 'internal'],
  units: ['gait', 'curves', 'internal'],
  testing: ['exchange', 'weigh', 'secondary', 'gait', 'curves', 'internal'],
  '': ['exchange', 'weigh', 'secondary', 'gait', 'curves'],
};

const modules = readModules();
const all = [...modules.values()];

describe('the layers of the library', () => {
  it('depend on each other one way only', () => {
    const wrong = all.flatMap(({ file, imports }) => {
      const part = partOf(file);
      return imports
        .filter((item) => item.file !== undefined && partOf(item.file) !== part)
        .filter((item) => !(MAY_IMPORT[part] ?? []).includes(partOf(item.file as string)))
        .map((item) => `${file} imports ${item.file}`);
    });
    expect(wrong).toEqual([]);
  });

  it('have no circles of files', () => {
    const circles: string[] = [];
    const done = new Set<string>();
    const follow = (file: string, trail: readonly string[]) => {
      if (trail.includes(file)) circles.push([...trail.slice(trail.indexOf(file)), file].join(' > '));
      if (done.has(file) || trail.includes(file)) return;
      for (const item of modules.get(file)?.imports ?? []) {
        if (item.file && !item.typeOnly) follow(item.file, [...trail, file]);
      }
      done.add(file);
    };
    for (const { file } of all) follow(file, []);
    expect(circles).toEqual([]);
  });

  it('import mathjs in units only', () => {
    const users = all.filter(({ imports }) =>
      imports.some(({ specifier }) => isPackage(specifier, 'mathjs')),
    );
    expect(users.map(({ file }) => file).filter((file) => partOf(file) !== 'units')).toEqual([]);
  });

  it('import fast-check in testing only', () => {
    const users = all.filter(({ imports }) =>
      imports.some(({ specifier }) => isPackage(specifier, 'fast-check')),
    );
    expect(users.map(({ file }) => file).filter((file) => partOf(file) !== 'testing')).toEqual([]);
  });

  it('import modules of Node in exchange/node only', () => {
    const users = all.filter(({ imports }) => imports.some(({ specifier }) => isBuiltin(specifier)));
    expect(users.map(({ file }) => file).filter((file) => partOf(file) !== 'exchange/node')).toEqual([]);
  });
});

describe('what an import loads', () => {
  const entries = ['src/index.ts', 'src/gait/index.ts', 'src/curves/index.ts', 'src/secondary/index.ts'];

  it.each(entries.filter((entry) => modules.has(entry)))('%s loads neither mathjs nor Node', (entry) => {
    const heavy = [...loadedPackages(modules, entry)].filter(
      ([specifier]) => isPackage(specifier, 'mathjs') || isBuiltin(specifier),
    );
    expect(heavy.map(([, trail]) => trail)).toEqual([]);
  });
});

describe('the source files', () => {
  it('re-export and do nothing else where they are called index.ts', () => {
    const busy = all
      .filter(({ file }) => file.endsWith('/index.ts'))
      .filter(
        ({ syntax }) =>
          !syntax.statements.every((node) => ts.isExportDeclaration(node) && node.moduleSpecifier),
      );
    expect(busy.map(({ file }) => file)).toEqual([]);
  });

  it('have no default exports', () => {
    const isDefault = (node: ts.Statement): boolean => {
      if (ts.isExportAssignment(node)) return true;
      if (ts.isExportDeclaration(node) && node.exportClause && ts.isNamedExports(node.exportClause)) {
        return node.exportClause.elements.some(({ name }) => name.text === 'default');
      }
      const modifiers = ts.canHaveModifiers(node) ? (ts.getModifiers(node) ?? []) : [];
      return modifiers.some(({ kind }) => kind === ts.SyntaxKind.DefaultKeyword);
    };
    const found = all.filter(({ syntax }) => syntax.statements.some(isDefault));
    expect(found.map(({ file }) => file)).toEqual([]);
  });

  it('are named in kebab-case', () => {
    const odd = all
      .map(({ file }) => file)
      .filter((file) => !/^src(\/[a-z0-9]+(-[a-z0-9]+)*)+\.ts$/.test(file));
    expect(odd).toEqual([]);
  });
});
