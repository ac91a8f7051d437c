// Eigen: a loop over rows with its fixed-size vectors and matrices. Reads start and lengths, writes hooks, prints ns a row.
#include <Eigen/Dense>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <vector>

using Eigen::Matrix3d;
using Eigen::Vector3d;
static const double weight = 1.0e5, tolerance = 1e-9;
static const Vector3d center(0.3, 0.1, -1.0);
static const Vector3d arms[4] = {Vector3d(2.1, 1.1, 0) - center, Vector3d(2.1, -1.1, 0) - center,
                                 Vector3d(-2.1, -1.1, 0) - center, Vector3d(-2.1, 1.1, 0) - center};

static Vector3d gradient(const Vector3d &h, const double *length, const double *k) {
    Vector3d g = -weight * h.normalized();
    for (int j = 0; j < 4; ++j) {
        const Vector3d r = h - arms[j];
        const double l = r.norm();
        if (l > length[j]) g += k[j] * (l - length[j]) / l * r;
    }
    return g;
}

static Vector3d row(Vector3d h, const double *length, double relative) {
    double k[4];
    for (int j = 0; j < 4; ++j) k[j] = relative * weight / length[j];
    for (int pass = 0; pass < 60; ++pass) {
        const double d = h.norm(), soft = weight / d;
        const Vector3d n = h / d;
        Vector3d g = -weight * n;
        Matrix3d H = soft * n * n.transpose();
        double total = -soft;
        for (int j = 0; j < 4; ++j) {
            const Vector3d r = h - arms[j];
            const double l = r.norm();
            if (l > length[j]) {
                const double q = k[j] * (l - length[j]) / l;
                g += q * r;
                H += (k[j] - q) / (l * l) * r * r.transpose();
                total += q;
            }
        }
        const double size = g.squaredNorm();
        if (size <= tolerance * tolerance * weight * weight) break;
        H.diagonal().array() += total;
        if (!(H(0, 0) > 0 && H(0, 0) * H(1, 1) > H(0, 1) * H(0, 1) && H.determinant() > 0)) H.diagonal().array() += soft;
        const Vector3d step = -(H.inverse() * g);
        double share = std::min(1.0, 0.3 * d / step.norm());
        for (int half = 0; half < 5; ++half, share *= 0.5)
            if (gradient(h + share * step, length, k).squaredNorm() <= size) break;
        h += share * step;
    }
    return h;
}

int main(int count, char **argument) {
    if (count != 4) return 1;
    FILE *in = std::fopen(argument[1], "rb");
    std::vector<double> all(1 << 22);
    all.resize(std::fread(all.data(), 8, all.size(), in));
    std::fclose(in);
    const double relative = std::atof(argument[3]);
    const size_t rows = (all.size() - 3) / 4;
    const Vector3d start(all[0], all[1], all[2]);
    std::vector<double> hooks(3 * rows);
    double least = std::numeric_limits<double>::infinity();
    for (int round = 0; round < 40; ++round) {
        const auto begin = std::chrono::steady_clock::now();
        for (size_t i = 0; i < rows; ++i) {
            Eigen::Map<Vector3d> slot(hooks.data() + 3 * i);
            slot = row(start, &all[3 + 4 * i], relative);
        }
        least = std::min(least, std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count());
    }
    FILE *out = std::fopen(argument[2], "wb");
    std::fwrite(hooks.data(), 8, hooks.size(), out);
    std::fclose(out);
    std::printf("%.2f\n", least * 1e9 / rows);
}
