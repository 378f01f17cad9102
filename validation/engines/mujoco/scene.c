/* Runs a scene in MuJoCo and prints what it did as plain numbers, for `validation engines`.
 *
 *   scene trace MODEL SETTLE STEPS EVERY     full effort after SETTLE steps without; every EVERY steps
 *                                            "x y v" of each robot's centre of mass, then the push on
 *                                            the wall in N
 *   scene scramble MODEL SCRIPT PASSES       processor seconds of each pass over the script
 *
 * The model names its robots r1 and r2, its wall "wall", and keeps the height of the centre of mass
 * as the numeric "cg_height". Motors come in fours: left, right, left, right. */
#include <math.h>
#include <mujoco/mujoco.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MOST_ROWS = 10000, SIDES = 4 };
static const double ROW_S = 0.01; /* the script has a row for every 10 ms */
static const int ROUNDS = 5;      /* both robots are put back this often in a pass */

static double processor_s(void) {
  struct timespec t;
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void print_robot(const mjModel *m, const mjData *d, const char *name) {
  int body = mj_name2id(m, mjOBJ_BODY, name);
  if (body < 0) return;
  const mjtNum *r = d->xmat + 9 * body, *x = d->xpos + 3 * body;
  int height = mj_name2id(m, mjOBJ_NUMERIC, "cg_height");
  double arm = m->numeric_data[m->numeric_adr[height]];
  const mjtNum *v = d->qvel + m->body_dofadr[body];
  /* The free joint's angular velocity is in the body's own axes. */
  double along = v[0] + arm * (r[0] * v[4] - r[1] * v[3]);
  printf("%.12g %.12g %.12g ", x[0] + arm * r[2], x[1] + arm * r[5], along);
}

static double wall_push(const mjModel *m, const mjData *d) {
  int wall = mj_name2id(m, mjOBJ_GEOM, "wall");
  double sum = 0;
  for (int i = 0; wall >= 0 && i < d->ncon; i++) {
    const mjContact *c = d->contact + i;
    mjtNum force[6];
    if (c->geom[0] != wall && c->geom[1] != wall) continue;
    mj_contactForce(m, d, i, force);
    sum += force[0] * fabs(c->frame[0]);
  }
  return sum;
}

static int trace(const mjModel *m, mjData *d, int settle, int steps, int every) {
  for (int k = 0; k < settle; k++) mj_step(m, d);
  memset(d->qvel, 0, (size_t)m->nv * sizeof *d->qvel);
  mj_forward(m, d);
  for (int k = 0; k < m->nu; k++) d->ctrl[k] = 1;
  for (int k = 0; k <= steps; k++) {
    if (k % every == 0) {
      print_robot(m, d, "r1");
      print_robot(m, d, "r2");
      printf("%.12g\n", wall_push(m, d));
    }
    mj_step(m, d);
  }
  return 0;
}

static int scramble(const mjModel *m, mjData *d, const char *script, int passes) {
  static double rows[MOST_ROWS][SIDES];
  FILE *f = fopen(script, "r");
  int n = 0, sub = (int)lround(ROW_S / m->opt.timestep);
  if (!f) return 2;
  while (n < MOST_ROWS && fscanf(f, "%lf,%lf,%lf,%lf", rows[n], rows[n] + 1, rows[n] + 2, rows[n] + 3) == SIDES) n++;
  for (int p = 0; p < passes; p++) {
    double start = processor_s();
    for (int k = 0; k < n; k++) {
      if (k % (n / ROUNDS) == 0) mj_resetData(m, d);
      for (int u = 0; u < m->nu; u++) d->ctrl[u] = rows[k][u / 4 * 2 + u % 2];
      for (int s = 0; s < sub; s++) mj_step(m, d);
    }
    printf("%.9f\n", processor_s() - start);
    if (d->warning[mjWARN_BADQACC].number) return 3;
  }
  return 0;
}

int main(int argc, char **argv) {
  char error[1000] = "";
  mjModel *m = argc > 4 ? mj_loadXML(argv[2], 0, error, sizeof error) : 0;
  if (!m) {
    fprintf(stderr, "%s\n", error[0] ? error : "trace MODEL SETTLE STEPS EVERY | scramble MODEL SCRIPT PASSES");
    return 1;
  }
  mjData *d = mj_makeData(m);
  if (!strcmp(argv[1], "trace") && argc > 5) return trace(m, d, atoi(argv[3]), atoi(argv[4]), atoi(argv[5]));
  return scramble(m, d, argv[3], atoi(argv[4]));
}
