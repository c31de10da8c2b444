# Values for outside_test.go and for the likelihood test of sludge/internal/field, by the
# R packages gstat and fields:
#   Rscript outside.R ../../../testdata/meuse.csv
library(gstat); library(fields); library(sp)
m <- read.csv(commandArgs(TRUE)[1], comment.char = "#")
m$v <- log(m$zinc)
coordinates(m) <- ~x+y
cat("# universal kriging of log zinc on easting and northing, spherical, nugget 0.05, sill 0.25, range 900 m\n")
at <- SpatialPointsDataFrame(cbind(c(179500, 180200, 181000, 178700), c(330500, 331900, 333400, 329800)), data.frame(id = 1:4))
m$e <- coordinates(m)[, 1]; m$n <- coordinates(m)[, 2]
at$e <- coordinates(at)[, 1]; at$n <- coordinates(at)[, 2]
k <- krige(v ~ e + n, m, at, vgm(0.25, "Sph", 900, 0.05), debug.level = 0)
for (i in 1:4) cat(sprintf("%.0f %.0f %.12f %.12f\n", at$e[i], at$n[i], k$var1.pred[i], k$var1.var[i]))
# fields profiles with all n degrees of freedom in the variance; the marginal likelihood has
# n - 1, so half the logarithm of the estimated variance is put back.
cat("# restricted likelihood of the first 40 samples: smoothness, practical range, nugget share\n")
x <- coordinates(m)[1:40, ]; y <- m$v[1:40]
per <- c("0.5" = 3, "1.5" = 4.7439, "2.5" = 5.9181)
for (nu in c(0.5, 1.5, 2.5)) for (r in c(300, 900)) for (q in c(0.05, 0.4)) {
  f <- mKrig(x, y, m = 1, lambda = q / (1 - q), cov.function = "stationary.cov",
             cov.args = list(Covariance = "Matern", smoothness = nu, aRange = r / per[[as.character(nu)]]))
  cat(sprintf("%.1f %.0f %.2f %.9f\n", nu, r, q, f$summary["lnProfileREML.FULL"] + log(f$summary["sigma2"]) / 2))
}
