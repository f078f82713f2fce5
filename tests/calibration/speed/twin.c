/* The same cubic cells as calibration/thermocouple/curve.ts, in C: the yardstick of npm run bench:calibration. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double nowNs(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec * 1e9 + t.tv_nsec;
}

/* One checked conversion, kept out of line as a library call would be. */
__attribute__((noinline)) static int checked(const double *c, long cells, double first, double per, double low, double high,
                                             double emf, double *out) {
  if (!(emf >= low && emf <= high)) return 1;
  double position = (emf - first) * per;
  long cell = (long)floor(position);
  if (cell < 0 || cell >= cells) return 1;
  double x = position - cell;
  const double *k = c + cell * 4;
  double t = k[0] + x * (k[1] + x * (k[2] + x * k[3]));
  if (isnan(t)) return 1;
  *out = t;
  return 0;
}

/* stdin: first, cells per microvolt, low, high, number of cells, number of values, rounds; coefficients; values. */
int main(void) {
  double head[7];
  if (fread(head, sizeof(double), 7, stdin) != 7) return 1;
  double first = head[0], per = head[1], low = head[2], high = head[3];
  long cells = (long)head[4], n = (long)head[5], rounds = (long)head[6];
  double *c = malloc(cells * 4 * sizeof(double)), *emf = malloc(n * sizeof(double)), *out = malloc(n * sizeof(double));
  if (fread(c, sizeof(double), cells * 4, stdin) != (size_t)(cells * 4)) return 1;
  if (fread(emf, sizeof(double), n, stdin) != (size_t)n) return 1;
  double bestMap = 1e300, bestOne = 1e300, sum = 0;
  for (long round = 0; round < rounds; round++) {
    double start = nowNs();
    for (long i = 0; i < n; i++) {
      double position = (emf[i] - first) * per;
      long cell = (long)position;
      double x = position - cell;
      const double *k = c + cell * 4;
      out[i] = k[0] + x * (k[1] + x * (k[2] + x * k[3]));
    }
    double ns = (nowNs() - start) / n;
    if (ns < bestMap) bestMap = ns;
    sum += out[round % n];
    start = nowNs();
    for (long i = 0; i < n; i++) {
      double t = 0;
      if (!checked(c, cells, first, per, low, high, emf[i], &t)) sum += t;
    }
    ns = (nowNs() - start) / n;
    if (ns < bestOne) bestOne = ns;
  }
  printf("{\"mapNs\":%.4f,\"oneNs\":%.4f,\"sum\":%.6g}\n", bestMap, bestOne, sum);
  return 0;
}
