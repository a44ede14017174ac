#!/bin/sh
# Teaches the reader and its three folds by one recipe, on a graphics card; what is there already is not made again.
#
#   sh tools/teach_readers.sh EXAMPLES.json BASE INTO
#
# First three readers, each without a third of the authors; then those three and the whole again, each told by the first
# three what they think of texts that they have not learned; then the same once more at a lower rate. INTO/lastall is
# the network to export, INTO/*.xz are the folds of readings. Two at a time: a step of one keeps the card busy for about
# half of its time, and four at once took 38 s for what each of them does in one epoch of all texts, not the 17 ms a step
# that the card needs (13 s).
set -eu
examples=$1 base=$2 into=$3
tools=$(dirname "$0")
fold0=q_,o_,w_,d_,x_,j_,v_,c_,wiring,fork,carburettor,bicycle,mill,bodywork,mower,van,outboard,car,restorer,lathe
fold0=$fold0,chainsaw,motorcycle_topend,bench_drill,say0
fold1=p_,n_,u_,m_,e_,i_,y_,b_,g_,say1,say3
fold2=r_,s_,t_,z_,k_,l_,f_,h_,a_,say2,say4
export OMP_NUM_THREADS=1 TOKENIZERS_PARALLELISM=false
mkdir -p "$into"

learn() { # NAME WITHOUT OPTIONS...
  name=$1 without=$2
  shift 2
  [ -f "$into/$name/reader1.pt" ] || python3 "$tools/train_reader.py" "$examples" --base "$base" \
    --into "$into/$name" --without "$without" "$@" >"$into/$name.log" 2>&1
}

learn first0 "$fold0" --epochs 8 --seed 10 & learn first1 "$fold1" --epochs 8 --seed 11 & wait
learn first2 "$fold2" --epochs 8 --seed 12

taught() { # NAME FOLD OPTIONS...
  name=$1 fold=$2
  shift 2
  eval "without=\${fold$fold:-}"
  learn "$name$fold" "$without" --epochs 8 --teachers "$into/first0" "$into/first1" "$into/first2" "$@"
}

taught second 0 --seed 2 & taught second 1 --seed 2 & wait
taught second 2 --seed 2 & taught second all --seed 2 & wait
taught last 0 --seed 3 --onto "$into/second0" & taught last 1 --seed 3 --onto "$into/second1" & wait
taught last 2 --seed 3 --onto "$into/second2" & taught last all --seed 3 --onto "$into/secondall" & wait

for fold in 0 1 2; do
  eval "only=\$fold$fold"
  for share in 0 1 2 3 4; do
    python3 "$tools/read_left_out.py" "$into/last$fold" "$examples" --base "$base" --only "$only" \
      --into "$into/fold$fold$share.xz" --share "$share/5" &
  done
done
wait
