import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { dirname, join, posix } from 'node:path';
import ts from 'typescript';

/** One import or re-export of a source file. */
export interface SourceImport {
  /** As written: `./curve.js`, `mathjs`, `node:fs`. */
  readonly specifier: string;
  /** The source file it means, from the root of the repository; nothing for packages and built-ins. */
  readonly file?: string;
  /** Whether it vanishes when the types are stripped. */
  readonly typeOnly: boolean;
}

/** A parsed source file and what it imports. */
export interface SourceModule {
  readonly file: string;
  readonly imports: readonly SourceImport[];
  readonly syntax: ts.SourceFile;
}

function resolveSource(from: string, specifier: string): string | undefined {
  if (!specifier.startsWith('.')) return undefined;
  const path = posix.normalize(posix.join(posix.dirname(from), specifier)).replace(/\.js$/, '');
  const file = [`${path}.ts`, `${path}/index.ts`, path].find((candidate) => existsSync(candidate));
  if (file === undefined) throw new Error(`${from} imports ${specifier}, which does not exist`);
  return file;
}

/** Everything a file imports: static, re-exported and dynamic. */
function importsOf(file: string, syntax: ts.SourceFile): SourceImport[] {
  const found: SourceImport[] = [];
  const add = (node: ts.Expression | undefined, typeOnly: boolean) => {
    if (!node || !ts.isStringLiteral(node)) return;
    found.push({ specifier: node.text, file: resolveSource(file, node.text), typeOnly });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) add(node.moduleSpecifier, node.importClause?.isTypeOnly ?? false);
    else if (ts.isExportDeclaration(node)) add(node.moduleSpecifier, node.isTypeOnly);
    else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) {
      add(node.argument.literal as ts.Expression, true);
    } else if (
      ts.isCallExpression(node) &&
      (node.expression.kind === ts.SyntaxKind.ImportKeyword || node.expression.getText(syntax) === 'require')
    ) {
      add(node.arguments[0], false);
    }
    ts.forEachChild(node, visit);
  };
  visit(syntax);
  return found;
}

/** Every source file below `folder`, parsed. */
export function readModules(folder = 'src'): Map<string, SourceModule> {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(folder, name).replaceAll('\\', '/'))
    .sort();
  return new Map(
    files.map((file) => {
      const syntax = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest);
      return [file, { file, imports: importsOf(file, syntax), syntax }];
    }),
  );
}

/** The packages and built-ins that importing `entry` loads, each with the chain of files that leads there. */
export function loadedPackages(
  modules: ReadonlyMap<string, SourceModule>,
  entry: string,
): Map<string, string> {
  const packages = new Map<string, string>();
  const seen = new Set<string>();
  const follow = (file: string, trail: string) => {
    if (seen.has(file)) return;
    seen.add(file);
    for (const item of modules.get(file)?.imports ?? []) {
      if (item.typeOnly) continue;
      if (item.file) follow(item.file, `${trail} > ${item.file}`);
      else if (!packages.has(item.specifier)) packages.set(item.specifier, `${trail} > ${item.specifier}`);
    }
  };
  follow(entry, entry);
  return packages;
}

/** Whether an import means a module of Node itself. */
export function isBuiltin(specifier: string): boolean {
  return specifier.startsWith('node:') || builtinModules.includes(specifier.split('/')[0]);
}

/** Whether an import means this package or one of its parts. */
export function isPackage(specifier: string, name: string): boolean {
  return specifier === name || specifier.startsWith(`${name}/`);
}

/** The part of the library a file belongs to: `curves`, `exchange/node`; empty for the root. */
export function partOf(file: string): string {
  const path = dirname(file)
    .replaceAll('\\', '/')
    .replace(/^src\/?/, '');
  return path.startsWith('exchange/node') ? 'exchange/node' : path.split('/')[0];
}
