import { isMap, isScalar, isSeq } from 'yaml';
import type { z } from 'zod';
import { settingsAt } from './settings-at.js';

export type YamlTrouble = {
  readonly line: number;
  readonly col: number;
  /** The place in the file, for example `probes.0.channel.pin`. */
  readonly where: string;
  /** What was found, in words; empty when nothing can be said. */
  readonly met: string;
  /** What to write instead, as it reads after "expected"; a rule between settings is a sentence of its own. */
  readonly expected?: string;
  readonly rule?: string;
};

type FileView = {
  readonly schema: z.ZodType;
  valueAt(path: PropertyKey[]): unknown;
  at(path: readonly PropertyKey[], key?: string): { line: number; col: number };
};

/** One complaint of the schema as what a person needs: where, what was found, what was expected. */
export const describeTrouble = (issue: z.core.$ZodIssue, file: FileView): YamlTrouble[] => {
  const where = issue.path.join('.');
  const met = meeting(file.valueAt([...issue.path]));
  const base = { ...file.at(issue.path), where, met };
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => ({
        ...file.at(issue.path, key),
        where: where ? `${where}.${key}` : key,
        met: `"${key}" is not known here`,
        expected: `one of ${settingsAt(file.schema, issue.path).join(', ')}`,
      }));
    case 'invalid_type':
      return [{ ...base, expected: expectedType[issue.expected] ?? `a ${issue.expected}` }];
    case 'invalid_value':
      return [{ ...base, expected: `one of ${issue.values.map(String).join(', ')}` }];
    case 'invalid_union': {
      const meant = meantOption(issue);
      if (meant)
        return meant.flatMap((inner) =>
          describeTrouble({ ...inner, path: [...issue.path, ...inner.path] } as z.core.$ZodIssue, file),
        );
      return [{ ...base, expected: optionsOf(issue) ? `one of ${optionsOf(issue)}` : issue.message }];
    }
    case 'too_small':
      return [
        { ...base, expected: bound('at least', 'more than', issue.minimum, issue.inclusive, issue.origin) },
      ];
    case 'too_big':
      return [
        { ...base, expected: bound('at most', 'less than', issue.maximum, issue.inclusive, issue.origin) },
      ];
    case 'custom':
      return [{ ...base, rule: issue.message }];
    default:
      return [{ ...base, expected: issue.message }];
  }
};

const expectedType: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  object: 'a group of settings',
  array: 'a list (lines that begin with "- ")',
};

/** Where a setting may be written in several forms: the trouble with the one that this is an attempt at. */
const meantOption = (issue: z.core.$ZodIssueInvalidUnion): readonly z.core.$ZodIssue[] | undefined => {
  const attempts = issue.errors.filter(
    (errors) => !errors.some(({ code, path }) => code === 'invalid_type' && path.length === 0),
  );
  return attempts.length === 1 ? attempts[0] : undefined;
};

const optionsOf = (issue: z.core.$ZodIssue): string => {
  const options = (issue as { options?: readonly unknown[] }).options;
  return options?.map(String).join(', ') ?? '';
};

const bound = (
  inclusive: string,
  exclusive: string,
  value: number | bigint,
  isInclusive: boolean | undefined,
  origin: string,
): string => {
  const unit = origin === 'string' ? ' characters' : origin === 'array' ? ' entries' : '';
  return `${isInclusive === false ? exclusive : inclusive} ${value}${unit}`;
};

/** A value is quoted to be recognised, not in full: a file that is no settings file would fill the terminal. */
const longestShown = 60;

const meeting = (value: unknown): string => {
  if (value === undefined || value === null) return 'found nothing';
  if (isMap(value)) return 'found a group of settings';
  if (isSeq(value)) return 'found a list';
  const plain = isScalar(value) ? value.value : value;
  if (plain === null) return 'found nothing';
  const shown = JSON.stringify(plain);
  return `found ${shown.length > longestShown ? `${shown.slice(0, longestShown)}...` : shown}`;
};
