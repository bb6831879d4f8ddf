/* The yardstick for speed: a plain one-pass stack count of every cycle (ASTM E1049-85, 5.4.4), ranges and means kept, no places. Finite loads only. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double *range, *mean, *weight, *stack;

static long count(const double *x, long n)
{
    long out = 0, depth = 0;
    double before = x[0], direction = 0;
    for (long i = 1; i <= n; i++) {
        double step = i < n ? x[i] - before : -direction;
        if (step != 0 && direction * step <= 0) {
            stack[depth++] = before;
            while (depth >= 3) {
                double a = fabs(stack[depth - 2] - stack[depth - 3]), b = fabs(stack[depth - 1] - stack[depth - 2]);
                if (b < a) break;
                range[out] = a;
                mean[out] = (stack[depth - 2] + stack[depth - 3]) / 2;
                if (depth == 3) { weight[out++] = 0.5; stack[0] = stack[1]; stack[1] = stack[2]; depth = 2; }
                else { weight[out++] = 1; stack[depth - 3] = stack[depth - 1]; depth -= 2; }
            }
        }
        if (step != 0) direction = step;
        if (i < n) before = x[i];
    }
    for (long i = 0; i + 1 < depth; i++) { range[out] = fabs(stack[i + 1] - stack[i]); mean[out] = (stack[i + 1] + stack[i]) / 2; weight[out++] = 0.5; }
    return out;
}

static int rising(const void *a, const void *b) { double x = *(const double *)a, y = *(const double *)b; return (x > y) - (x < y); }

int main(int argc, char **argv)
{
    FILE *file = argc > 1 ? fopen(argv[1], "rb") : 0;
    if (!file) return 2;
    fseek(file, 0, SEEK_END);
    long n = ftell(file) / 8, out = 0;
    rewind(file);
    double *x = malloc(8 * n), seconds[61];
    range = malloc(8 * n); mean = malloc(8 * n); weight = malloc(8 * n); stack = malloc(8 * (n + 1));
    if (fread(x, 8, n, file) != (size_t)n) return 2;
    for (int k = -10; k < 61; k++) {
        struct timespec start, end;
        clock_gettime(CLOCK_MONOTONIC, &start);
        out = count(x, n);
        clock_gettime(CLOCK_MONOTONIC, &end);
        if (k >= 0) seconds[k] = end.tv_sec - start.tv_sec + 1e-9 * (end.tv_nsec - start.tv_nsec);
    }
    qsort(seconds, 61, 8, rising);
    printf("%-50s median %6.0f best %6.0f million samples/s, %ld entries\n", "plain C, gcc -O2", n / seconds[30] / 1e6, n / seconds[0] / 1e6, out);
    return 0;
}
