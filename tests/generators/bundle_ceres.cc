// Bundle adjustment of a problem file (bundle-problem-file.ts says its format) by Ceres, an independent solver.
//
//   apt-get install g++ libceres-dev
//   g++ -O2 -DNDEBUG -I/usr/include/eigen3 bundle_ceres.cc -o bundle_ceres -lceres -lglog
//   ./bundle_ceres PROBLEM [autodiff|analytic] [dense|sparse] [rounds] [tolerance]
//
// Prints JSON: version, settings, cost, iterations, seconds (processor time of a solve, median, reading and building left out), and the
// parameters: per camera rotation vector, translation, fx fy cx cy k1 k2 p1 p2 k3. One thread.
#include <ceres/ceres.h>
#include <ceres/normal_prior.h>
#include <ceres/rotation.h>

#include <algorithm>
#include <array>
#include <ctime>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

namespace {

struct CameraData {
  bool pose_free = false;
  double pose[6];   // rotation vector, translation: point in camera = R X + t
  double lens[9];   // fx fy cx cy k1 k2 p1 p2 k3
  int free[9];
  bool prior = false;
  std::vector<double> mean, covariance;
};

struct TargetData {
  std::string kind;
  std::vector<double> points, values;
  double length = 0, length_sd = 1;
};

struct Observation {
  int camera, target, point;
  double u, v, su, sv;
};

struct Bundle {
  std::string loss;
  double scale = 1;
  std::vector<CameraData> cameras;
  std::vector<TargetData> targets;
  std::vector<Observation> observations;
};

template <typename T>
void Project(const T* pose, const T* lens, const T* point, T* uv) {
  T y[3];
  ceres::AngleAxisRotatePoint(pose, point, y);
  const T z = y[2] + pose[5];
  const T xn = (y[0] + pose[3]) / z;
  const T yn = (y[1] + pose[4]) / z;
  const T r2 = xn * xn + yn * yn;
  const T g = T(1) + r2 * (lens[4] + r2 * (lens[5] + r2 * lens[8]));
  const T xd = xn * g + T(2) * lens[6] * xn * yn + lens[7] * (r2 + T(2) * xn * xn);
  const T yd = yn * g + lens[6] * (r2 + T(2) * yn * yn) + T(2) * lens[7] * xn * yn;
  uv[0] = lens[0] * xd + lens[2];
  uv[1] = lens[1] * yd + lens[3];
}

struct RigidSeen {
  double p[3];
  Observation o;
  template <typename T>
  bool operator()(const T* camera, const T* lens, const T* board, T* r) const {
    const T local[3] = {T(p[0]), T(p[1]), T(p[2])};
    T world[3];
    ceres::AngleAxisRotatePoint(board, local, world);
    for (int k = 0; k < 3; k++) world[k] += board[3 + k];
    T uv[2];
    Project(camera, lens, world, uv);
    r[0] = (uv[0] - o.u) / o.su;
    r[1] = (uv[1] - o.v) / o.sv;
    return true;
  }
};

struct PointSeen {
  Observation o;
  int at;  // 0 or 3: place of the point within its block
  template <typename T>
  bool operator()(const T* camera, const T* lens, const T* block, T* r) const {
    T uv[2];
    Project(camera, lens, block + at, uv);
    r[0] = (uv[0] - o.u) / o.su;
    r[1] = (uv[1] - o.v) / o.sv;
    return true;
  }
};

struct KnownSeen {
  double p[3];
  Observation o;
  template <typename T>
  bool operator()(const T* camera, const T* lens, T* r) const {
    const T world[3] = {T(p[0]), T(p[1]), T(p[2])};
    T uv[2];
    Project(camera, lens, world, uv);
    r[0] = (uv[0] - o.u) / o.su;
    r[1] = (uv[1] - o.v) / o.sv;
    return true;
  }
};

// Derivatives written by hand. Camera poses are stepped by a small turn of R (manifold below), so that the rotation's columns are
// y x g; the ambient parameter is the rotation matrix itself.
struct Slopes {
  double uv[2], by_point[2][3], by_turn[2][3], by_move[2][3], by_lens[2][9];
};

void Differentiate(const double* pose, const double* lens, const double* x, Slopes* out) {
  double y[3];
  for (int k = 0; k < 3; k++) y[k] = pose[3 * k] * x[0] + pose[3 * k + 1] * x[1] + pose[3 * k + 2] * x[2];
  const double z = y[2] + pose[11], xn = (y[0] + pose[9]) / z, yn = (y[1] + pose[10]) / z;
  const double xx = xn * xn, yy = yn * yn, xy = xn * yn, r2 = xx + yy, r4 = r2 * r2, r6 = r4 * r2;
  const double k1 = lens[4], k2 = lens[5], p1 = lens[6], p2 = lens[7], k3 = lens[8];
  const double g = 1 + k1 * r2 + k2 * r4 + k3 * r6, dg = k1 + 2 * k2 * r2 + 3 * k3 * r4;
  const double xd = xn * g + 2 * p1 * xy + p2 * (r2 + 2 * xx), yd = yn * g + p1 * (r2 + 2 * yy) + 2 * p2 * xy;
  out->uv[0] = lens[0] * xd + lens[2];
  out->uv[1] = lens[1] * yd + lens[3];
  const double a = g + 2 * xx * dg + 2 * p1 * yn + 6 * p2 * xn;
  const double b = 2 * xy * dg + 2 * p1 * xn + 2 * p2 * yn;
  const double d = g + 2 * yy * dg + 6 * p1 * yn + 2 * p2 * xn;
  const double n[2][2] = {{lens[0] * a, lens[0] * b}, {lens[1] * b, lens[1] * d}};
  for (int row = 0; row < 2; row++) {
    const double c0 = n[row][0] / z, c1 = n[row][1] / z, c2 = -(n[row][0] * xn + n[row][1] * yn) / z;
    for (int k = 0; k < 3; k++) out->by_point[row][k] = c0 * pose[k] + c1 * pose[3 + k] + c2 * pose[6 + k];
    out->by_turn[row][0] = y[1] * c2 - y[2] * c1;
    out->by_turn[row][1] = y[2] * c0 - y[0] * c2;
    out->by_turn[row][2] = y[0] * c1 - y[1] * c0;
    out->by_move[row][0] = c0;
    out->by_move[row][1] = c1;
    out->by_move[row][2] = c2;
    const double f = lens[row], e = row == 0 ? xn : yn;
    double* l = out->by_lens[row];
    l[0] = row == 0 ? xd : 0;
    l[1] = row == 1 ? yd : 0;
    l[2] = row == 0 ? 1 : 0;
    l[3] = row == 1 ? 1 : 0;
    l[4] = f * e * r2;
    l[5] = f * e * r4;
    l[6] = f * (row == 0 ? 2 * xy : r2 + 2 * yy);
    l[7] = f * (row == 0 ? r2 + 2 * xx : 2 * xy);
    l[8] = f * e * r6;
  }
}

// A pose as 9 + 3 numbers, stepped by exp(d) R and t + d. PlusJacobian is the identity on the first six ambient columns: the
// analytic cost functions below write their derivatives by the step there (the usual way round a redundant chart).
class PoseManifold : public ceres::Manifold {
 public:
  int AmbientSize() const override { return 12; }
  int TangentSize() const override { return 6; }
  bool Plus(const double* x, const double* d, double* out) const override {
    double e[9];
    ceres::AngleAxisToRotationMatrix(d, ceres::RowMajorAdapter3x3(e));
    for (int i = 0; i < 3; i++)
      for (int j = 0; j < 3; j++)
        out[3 * i + j] = e[3 * i] * x[j] + e[3 * i + 1] * x[3 + j] + e[3 * i + 2] * x[6 + j];
    for (int k = 0; k < 3; k++) out[9 + k] = x[9 + k] + d[3 + k];
    return true;
  }
  bool PlusJacobian(const double*, double* j) const override {
    std::fill(j, j + 72, 0.0);
    for (int k = 0; k < 6; k++) j[6 * k + k] = 1;
    return true;
  }
  bool Minus(const double*, const double*, double*) const override { return false; }
  bool MinusJacobian(const double*, double*) const override { return false; }
};

void PoseColumns(const double turn[3], const double move[3], double weight, double* out) {
  for (int k = 0; k < 3; k++) {
    out[k] = weight * turn[k];
    out[3 + k] = weight * move[k];
  }
  std::fill(out + 6, out + 12, 0.0);
}

struct AnalyticRigid : ceres::SizedCostFunction<2, 12, 9, 12> {
  double p[3];
  Observation o;
  AnalyticRigid(const double* x, const Observation& seen) : o(seen) { std::copy(x, x + 3, p); }
  bool Evaluate(double const* const* q, double* r, double** j) const override {
    const double* b = q[2];
    double arm[3], world[3];
    for (int k = 0; k < 3; k++) {
      arm[k] = b[3 * k] * p[0] + b[3 * k + 1] * p[1] + b[3 * k + 2] * p[2];
      world[k] = arm[k] + b[9 + k];
    }
    Slopes s;
    Differentiate(q[0], q[1], world, &s);
    const double w[2] = {1 / o.su, 1 / o.sv};
    r[0] = (s.uv[0] - o.u) * w[0];
    r[1] = (s.uv[1] - o.v) * w[1];
    if (j == nullptr) return true;
    for (int row = 0; row < 2; row++) {
      if (j[0] != nullptr) PoseColumns(s.by_turn[row], s.by_move[row], w[row], j[0] + 12 * row);
      if (j[1] != nullptr)
        for (int k = 0; k < 9; k++) j[1][9 * row + k] = w[row] * s.by_lens[row][k];
      if (j[2] != nullptr) {
        const double* g = s.by_point[row];
        const double turn[3] = {arm[1] * g[2] - arm[2] * g[1], arm[2] * g[0] - arm[0] * g[2],
                                arm[0] * g[1] - arm[1] * g[0]};
        PoseColumns(turn, g, w[row], j[2] + 12 * row);
      }
    }
    return true;
  }
};

template <int kSize>
struct AnalyticPoint : ceres::SizedCostFunction<2, 12, 9, kSize> {
  Observation o;
  int at;
  AnalyticPoint(const Observation& seen, int place) : o(seen), at(place) {}
  bool Evaluate(double const* const* q, double* r, double** j) const override {
    Slopes s;
    Differentiate(q[0], q[1], q[2] + at, &s);
    const double w[2] = {1 / o.su, 1 / o.sv};
    r[0] = (s.uv[0] - o.u) * w[0];
    r[1] = (s.uv[1] - o.v) * w[1];
    if (j == nullptr) return true;
    if (j[2] != nullptr) std::fill(j[2], j[2] + 2 * kSize, 0.0);
    for (int row = 0; row < 2; row++) {
      if (j[0] != nullptr) PoseColumns(s.by_turn[row], s.by_move[row], w[row], j[0] + 12 * row);
      if (j[1] != nullptr)
        for (int k = 0; k < 9; k++) j[1][9 * row + k] = w[row] * s.by_lens[row][k];
      if (j[2] != nullptr)
        for (int k = 0; k < 3; k++) j[2][kSize * row + at + k] = w[row] * s.by_point[row][k];
    }
    return true;
  }
};

struct RodLength {
  double length, sd;
  template <typename T>
  bool operator()(const T* rod, T* r) const {
    using std::sqrt;
    T sum = T(0);
    for (int k = 0; k < 3; k++) sum += (rod[3 + k] - rod[k]) * (rod[3 + k] - rod[k]);
    r[0] = (sqrt(sum) - T(length)) / T(sd);
    return true;
  }
};

Bundle Read(const char* file) {
  std::ifstream in(file);
  if (!in) {
    std::cerr << file << ": cannot be read\n";
    std::exit(1);
  }
  Bundle b;
  std::string word;
  size_t count;
  in >> word >> b.loss >> b.scale >> word >> count;
  b.cameras.resize(count);
  for (auto& c : b.cameras) {
    double r[9];
    int prior;
    in >> c.pose_free;
    for (double& x : r) in >> x;
    ceres::RotationMatrixToAngleAxis(ceres::RowMajorAdapter3x3(static_cast<const double*>(r)), c.pose);
    for (int k = 3; k < 6; k++) in >> c.pose[k];
    for (double& x : c.lens) in >> x;
    int n = 0;
    for (int& x : c.free) in >> x, n += x;
    in >> prior;
    c.prior = prior == 1;
    if (c.prior) {
      c.mean.resize(n);
      c.covariance.resize(n * n);
      for (double& x : c.mean) in >> x;
      for (double& x : c.covariance) in >> x;
    }
  }
  in >> word >> count;
  b.targets.resize(count);
  for (auto& t : b.targets) {
    in >> t.kind;
    if (t.kind == "rigid" || t.kind == "known") {
      size_t n;
      in >> n;
      t.points.resize(3 * n);
      for (double& x : t.points) in >> x;
    }
    if (t.kind == "rigid") {
      double r[9];
      for (double& x : r) in >> x;
      t.values.resize(6);
      ceres::RotationMatrixToAngleAxis(ceres::RowMajorAdapter3x3(static_cast<const double*>(r)), t.values.data());
      for (int k = 3; k < 6; k++) in >> t.values[k];
    } else if (t.kind != "known") {
      t.values.resize(t.kind == "rod" ? 6 : 3);
      for (double& x : t.values) in >> x;
      if (t.kind == "rod") in >> t.length >> t.length_sd;
    }
  }
  in >> word >> count;
  b.observations.resize(count);
  for (auto& o : b.observations) in >> o.camera >> o.target >> o.point >> o.u >> o.v >> o.su >> o.sv;
  if (!in) {
    std::cerr << file << ": ends too early\n";
    std::exit(1);
  }
  return b;
}

void ToMatrix(const double* pose, double* out) {
  ceres::AngleAxisToRotationMatrix(pose, ceres::RowMajorAdapter3x3(out));
  std::copy(pose + 3, pose + 6, out + 9);
}

struct Solved {
  ceres::Solver::Summary summary;
  double seconds;
  Bundle bundle;
};

Solved Solve(Bundle b, bool analytic, bool sparse, double tolerance) {
  ceres::Problem problem;
  auto ordering = std::make_shared<ceres::ParameterBlockOrdering>();
  std::vector<std::array<double, 12>> camera_pose(b.cameras.size()), target_pose(b.targets.size());
  const int pose_size = analytic ? 12 : 6;
  for (size_t i = 0; i < b.cameras.size(); i++) {
    CameraData& c = b.cameras[i];
    if (analytic)
      ToMatrix(c.pose, camera_pose[i].data());
    else
      std::copy(c.pose, c.pose + 6, camera_pose[i].begin());
    problem.AddParameterBlock(camera_pose[i].data(), pose_size, analytic ? new PoseManifold : nullptr);
    problem.AddParameterBlock(c.lens, 9);
    if (!c.pose_free) problem.SetParameterBlockConstant(camera_pose[i].data());
    std::vector<int> held, freed;
    for (int k = 0; k < 9; k++) (c.free[k] ? freed : held).push_back(k);
    if (freed.empty())
      problem.SetParameterBlockConstant(c.lens);
    else if (!held.empty())
      problem.SetManifold(c.lens, new ceres::SubsetManifold(9, held));
    ordering->AddElementToGroup(camera_pose[i].data(), 1);
    ordering->AddElementToGroup(c.lens, 1);
    if (c.prior) {
      // L^-1 (x - mean), covariance = L L^T.
      const int n = static_cast<int>(freed.size());
      Eigen::Map<Eigen::Matrix<double, -1, -1, Eigen::RowMajor>> cov(c.covariance.data(), n, n);
      Eigen::MatrixXd lower = cov.llt().matrixL();
      Eigen::MatrixXd small = lower.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(n, n));
      Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n, 9);
      Eigen::VectorXd mean = Eigen::VectorXd::Zero(9);
      for (int k = 0; k < n; k++) {
        a.col(freed[k]) = small.col(k);
        mean[freed[k]] = c.mean[k];
      }
      problem.AddResidualBlock(new ceres::NormalPrior(a, mean), nullptr, c.lens);
    }
  }
  for (size_t i = 0; i < b.targets.size(); i++) {
    TargetData& t = b.targets[i];
    double* block = t.values.data();
    if (t.kind == "known") continue;
    if (t.kind == "rigid") {
      block = target_pose[i].data();
      if (analytic)
        ToMatrix(t.values.data(), block);
      else
        std::copy(t.values.begin(), t.values.end(), block);
      problem.AddParameterBlock(block, pose_size, analytic ? new PoseManifold : nullptr);
    } else {
      problem.AddParameterBlock(block, static_cast<int>(t.values.size()));
    }
    ordering->AddElementToGroup(block, 0);
    if (t.kind == "rod")
      problem.AddResidualBlock(
          new ceres::AutoDiffCostFunction<RodLength, 1, 6>(new RodLength{t.length, t.length_sd}), nullptr, block);
  }
  ceres::LossFunction* loss = nullptr;
  if (b.loss == "huber") loss = new ceres::HuberLoss(b.scale);
  if (b.loss == "cauchy") loss = new ceres::CauchyLoss(b.scale);
  for (const Observation& o : b.observations) {
    CameraData& c = b.cameras[o.camera];
    TargetData& t = b.targets[o.target];
    double* pose = camera_pose[o.camera].data();
    const double* local = t.points.empty() ? nullptr : &t.points[3 * o.point];
    if (t.kind == "known") {
      if (analytic) {
        std::cerr << "known targets: autodiff only\n";
        std::exit(1);
      }
      problem.AddResidualBlock(new ceres::AutoDiffCostFunction<KnownSeen, 2, 6, 9>(
                                   new KnownSeen{{local[0], local[1], local[2]}, o}),
                               loss, pose, c.lens);
    } else if (t.kind == "rigid") {
      ceres::CostFunction* cost =
          analytic ? static_cast<ceres::CostFunction*>(new AnalyticRigid(local, o))
                   : new ceres::AutoDiffCostFunction<RigidSeen, 2, 6, 9, 6>(
                         new RigidSeen{{local[0], local[1], local[2]}, o});
      problem.AddResidualBlock(cost, loss, pose, c.lens, target_pose[o.target].data());
    } else {
      const int at = 3 * o.point;
      ceres::CostFunction* cost;
      if (t.kind == "rod")
        cost = analytic ? static_cast<ceres::CostFunction*>(new AnalyticPoint<6>(o, at))
                        : new ceres::AutoDiffCostFunction<PointSeen, 2, 6, 9, 6>(new PointSeen{o, at});
      else
        cost = analytic ? static_cast<ceres::CostFunction*>(new AnalyticPoint<3>(o, 0))
                        : new ceres::AutoDiffCostFunction<PointSeen, 2, 6, 9, 3>(new PointSeen{o, 0});
      problem.AddResidualBlock(cost, loss, pose, c.lens, t.values.data());
    }
  }
  ceres::Solver::Options options;
  options.linear_solver_type = sparse ? ceres::SPARSE_SCHUR : ceres::DENSE_SCHUR;
  options.linear_solver_ordering = ordering;
  options.num_threads = 1;
  options.max_num_iterations = 200;
  options.function_tolerance = tolerance;
  options.gradient_tolerance = 1e-30;
  options.parameter_tolerance = 1e-30;
  options.logging_type = ceres::SILENT;
  Solved out;
  const std::clock_t before = std::clock();
  ceres::Solve(options, &problem, &out.summary);
  out.seconds = static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
  for (size_t i = 0; i < b.cameras.size(); i++) {
    double* p = b.cameras[i].pose;
    const double* x = camera_pose[i].data();
    if (analytic) {
      ceres::RotationMatrixToAngleAxis(ceres::RowMajorAdapter3x3(x), p);
      std::copy(x + 9, x + 12, p + 3);
    } else {
      std::copy(x, x + 6, p);
    }
  }
  out.bundle = std::move(b);
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::cerr << "usage: bundle_ceres PROBLEM [autodiff|analytic] [dense|sparse] [rounds] [tolerance]\n";
    return 2;
  }
  const bool analytic = argc > 2 && std::string(argv[2]) == "analytic";
  const bool sparse = argc > 3 && std::string(argv[3]) == "sparse";
  const int rounds = argc > 4 ? std::atoi(argv[4]) : 1;
  const double tolerance = argc > 5 ? std::atof(argv[5]) : 1e-12;
  const Bundle bundle = Read(argv[1]);
  std::vector<double> seconds;
  Solved last;
  for (int i = 0; i < rounds; i++) {
    last = Solve(bundle, analytic, sparse, tolerance);
    seconds.push_back(last.seconds);
  }
  std::sort(seconds.begin(), seconds.end());
  std::printf("{\"program\": \"Ceres %s\", \"derivatives\": \"%s\", \"linear_solver\": \"%s\", \"cost\": %.17g, ",
              CERES_VERSION_STRING, analytic ? "analytic" : "autodiff", sparse ? "SPARSE_SCHUR" : "DENSE_SCHUR",
              last.summary.final_cost);
  std::printf("\"start_cost\": %.17g, \"iterations\": %d, \"seconds\": %.6g, \"cameras\": [", last.summary.initial_cost,
              static_cast<int>(last.summary.iterations.size()) - 1, seconds[seconds.size() / 2]);
  for (size_t i = 0; i < last.bundle.cameras.size(); i++) {
    const CameraData& c = last.bundle.cameras[i];
    std::printf("%s[", i == 0 ? "" : ", ");
    for (int k = 0; k < 15; k++) std::printf("%s%.17g", k == 0 ? "" : ", ", k < 6 ? c.pose[k] : c.lens[k - 6]);
    std::printf("]");
  }
  std::printf("]}\n");
  return 0;
}
